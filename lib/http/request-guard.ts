/**
 * Who may ask: this machine alone. A name that only points here (DNS rebinding) and a write sent from another site's page
 * (Origin, RFC 6454; Sec-Fetch-Site, W3C Fetch Metadata) are refused before anything is read.
 */
import { AppError } from '../model/app-error'

type Asked = { method: string; headers: { get(name: string): string | null } }

/** @throws AppError forbidden */
export function refuseStrangers({ method, headers }: Asked): void {
  const host = headers.get('host') ?? ''
  if (!isLoopback(host)) {
    throw new AppError(
      'forbidden',
      `Throwmark answers under the names localhost, 127.0.0.1 and [::1] alone, not under ${JSON.stringify(host)}.`,
    )
  }
  if (method === 'GET' || method === 'HEAD' || method === 'OPTIONS') return
  const site = headers.get('sec-fetch-site')
  const origin = headers.get('origin')
  const foreign = (site !== null && site !== 'same-origin' && site !== 'none') || (origin !== null && origin !== `http://${host}`)
  if (foreign) throw new AppError('forbidden', 'A page of another site may not write here; open Throwmark itself.')
}

function isLoopback(host: string): boolean {
  return /^(localhost|127\.0\.0\.1|\[::1\])(:\d{1,5})?$/i.test(host)
}

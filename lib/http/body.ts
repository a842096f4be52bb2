/** Bodies read with a limit: what is too large is refused before all of it is in memory. */
import { AppError, badInput } from '../model/app-error'

/** @throws AppError too-large, told by Content-Length where it is given, else while reading */
export async function readAtMost(request: Request, limit: number, what: string): Promise<Uint8Array<ArrayBuffer>> {
  const tooLarge = () =>
    new AppError('too-large', `${what}: is larger than the ${Math.floor(limit / 1e6)} MB that are taken; send less at once.`)
  if (Number(request.headers.get('content-length') ?? 0) > limit) throw tooLarge()
  const chunks: Uint8Array[] = []
  let length = 0
  const reader = request.body?.getReader()
  for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
    length += part.value.byteLength
    if (length > limit) {
      await reader?.cancel()
      throw tooLarge()
    }
    chunks.push(part.value)
  }
  const whole = new Uint8Array(length)
  let at = 0
  for (const chunk of chunks) {
    whole.set(chunk, at)
    at += chunk.byteLength
  }
  return whole
}

/** A multipart form (RFC 7578). @throws AppError too-large, bad-input */
export async function readForm(request: Request, limit: number): Promise<FormData> {
  const bytes = await readAtMost(request, limit, 'The form')
  try {
    return await new Response(bytes, { headers: { 'content-type': request.headers.get('content-type') ?? '' } }).formData()
  } catch {
    throw badInput([
      { path: '$', fault: 'is not a multipart form', remedy: 'send the pictures as multipart/form-data, or one picture as the body' },
    ])
  }
}

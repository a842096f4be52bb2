import { catalogue } from '@/lib/http/catalogue'
import { route } from '@/lib/http/route'
import { database } from '@/lib/store/database'
import { readDocument } from '@/lib/store/document'
import { journals } from '@/lib/store/journals'
import { storedRow } from '@/lib/store/member'
import { photoStorage } from '@/lib/store/photo-storage'
import { rolloutPng } from '@/lib/store/rollout-map'

export const GET = route(catalogue.journals.rollout, async ({ params, query, request }) => {
  const { shaftId, name } = await storedRow(journals, database().client, params.id)
  const png = await rolloutPng(await readDocument(shaftId), name, query.pxPerMm, photoStorage(), () => request.signal.aborted)
  return new Response(png as Uint8Array<ArrayBuffer> | null, { headers: { 'content-type': 'image/png', 'cache-control': 'no-store' } })
})

import { randomUUID } from 'node:crypto'
import { readAtMost } from '@/lib/http/body'
import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { importShaft } from '@/lib/store/imports'
import { largestBundleBytes } from '@/lib/store/zip'

export const POST = route(catalogue.imports, async ({ query, request }) => {
  const bytes = await readAtMost(request, largestBundleBytes, 'The bundle')
  const { made, ...imported } = await importShaft(bytes, query.id ?? randomUUID(), new Date())
  return json(imported, { status: made ? 201 : 200, version: imported.document.shaft.version })
})

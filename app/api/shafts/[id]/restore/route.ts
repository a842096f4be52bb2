import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { withPlainCurrent } from '@/lib/http/row-routes'
import { restoreShaft } from '@/lib/store/shafts'

export const POST = route(catalogue.shafts.restore, async ({ params, version }) => {
  const row = await withPlainCurrent(restoreShaft(params.id, version, new Date()))
  return json(row, { version: row.version })
})

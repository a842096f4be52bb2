import { catalogue } from '@/lib/http/catalogue'
import { problemResponse } from '@/lib/http/problem'
import { json, route } from '@/lib/http/route'
import { failingPart } from '@/lib/store/health'

export const GET = route(catalogue.health, async () => {
  const failing = await failingPart()
  if (!failing) return json({ ok: true })
  const detail = `The ${failing} does not answer; see that the data folder is there, writable and not full.`
  return problemResponse({ type: 'about:blank', title: 'Not ready', status: 503, detail, code: 'not-ready' })
})

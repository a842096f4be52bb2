import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { readDocument } from '@/lib/store/document'
import { findingsOf } from '@/lib/store/findings'

export const GET = route(catalogue.shafts.findings, async ({ params }) => json(await findingsOf(await readDocument(params.id))))

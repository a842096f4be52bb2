import path from 'node:path'
import { catalogue } from '@/lib/http/catalogue'
import { json, route } from '@/lib/http/route'
import { openExample } from '@/lib/store/demo'

export const POST = route(catalogue.example, async () => json({ shaftId: await openExample(path.join(process.cwd(), 'prisma', 'demo')) }))

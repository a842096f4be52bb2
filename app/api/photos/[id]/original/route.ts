import { Readable } from 'node:stream'
import { catalogue } from '@/lib/http/catalogue'
import { route } from '@/lib/http/route'
import { photoStorage } from '@/lib/store/photo-storage'
import { fileOfPhoto } from '@/lib/store/photo-files'

export const GET = route(catalogue.photos.original, async ({ params }) => {
  const file = await fileOfPhoto(params.id)
  const stream = Readable.toWeb(photoStorage().streamOriginal(file.sha256)) as ReadableStream
  return new Response(stream, {
    headers: {
      'content-type': file.mime,
      'content-length': String(file.bytes),
      'cache-control': 'private, max-age=31536000, immutable',
      'x-content-type-options': 'nosniff',
      etag: `"${file.sha256}"`,
    },
  })
})

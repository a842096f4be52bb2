import { catalogue } from '@/lib/http/catalogue'
import { route } from '@/lib/http/route'
import { fileOfPhoto } from '@/lib/store/photo-files'
import { photoStorage } from '@/lib/store/photo-storage'
import { preview } from '@/lib/store/previews'

export const GET = route(catalogue.photos.preview, async ({ params, query }) => {
  const file = await fileOfPhoto(params.id)
  const { mime, bytes } = await preview(photoStorage(), file, query.width)
  return new Response(bytes as Uint8Array<ArrayBuffer>, {
    headers: { 'content-type': mime, 'cache-control': 'private, max-age=86400', etag: `"${file.sha256}-${query.width}"` },
  })
})

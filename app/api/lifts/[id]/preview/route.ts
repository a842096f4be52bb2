import { catalogue } from '@/lib/http/catalogue'
import { pictureAnswer } from '@/lib/http/picture-answer'
import { route } from '@/lib/http/route'
import { fileOfLift } from '@/lib/store/photo-files'
import { photoStorage } from '@/lib/store/photo-storage'
import { preview } from '@/lib/store/previews'

export const GET = route(catalogue.lifts.preview, async ({ params, query, request }) => {
  const file = await fileOfLift(params.id)
  const mime = query.width === 'full' ? 'image/jpeg' : 'image/webp'
  return pictureAnswer(request, { mime, tag: `${file.sha256}-${query.width}`, content: () => preview(photoStorage(), file, query.width) })
})

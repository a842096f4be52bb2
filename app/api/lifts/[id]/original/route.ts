import { catalogue } from '@/lib/http/catalogue'
import { pictureAnswer } from '@/lib/http/picture-answer'
import { route } from '@/lib/http/route'
import { fileOfLift } from '@/lib/store/photo-files'
import { photoStorage } from '@/lib/store/photo-storage'

export const GET = route(catalogue.lifts.original, async ({ params, request }) => {
  const { sha256, mime } = await fileOfLift(params.id)
  return pictureAnswer(request, { mime, tag: sha256, content: () => photoStorage().streamOriginal(sha256) })
})

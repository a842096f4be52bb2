/** Entry of the suggesting worker in a page: `new Worker(new URL('./suggest-worker.ts', import.meta.url))`; ended by terminating it. */
import type { Picture } from '../rollout/picture'
import { suggestMarks } from './suggest'
import type { FromSuggester, ToSuggester } from './suggest-messages'

const scope = self as unknown as DedicatedWorkerGlobalScope
const wanted = new Map<number, (picture: Picture | null) => void>()
const say = (message: FromSuggester) => scope.postMessage(message)

scope.onmessage = ({ data }: MessageEvent<ToSuggester>) => {
  if (data.say === 'picture') {
    wanted.get(data.view)?.(data.bitmap && pixelsOf(data.bitmap))
    wanted.delete(data.view)
    return
  }
  const pictureOf = (view: number) =>
    new Promise<Picture | null>((resolve) => {
      wanted.set(view, resolve)
      say({ say: 'want', view })
    })
  suggestMarks(data.journal, data.views, pictureOf, (done, of) => say({ say: 'progress', done, of })).then(
    (candidates) => say({ say: 'found', candidates }),
    (error) => say({ say: 'failed', message: error instanceof Error ? error.message : String(error) }),
  )
}

function pixelsOf(bitmap: ImageBitmap): Picture | null {
  const { width, height } = bitmap
  const context = new OffscreenCanvas(width, height).getContext('2d', { willReadFrequently: true })
  if (!context) return null
  context.drawImage(bitmap, 0, 0)
  bitmap.close()
  return { width, height, channels: 4, data: context.getImageData(0, 0, width, height).data }
}

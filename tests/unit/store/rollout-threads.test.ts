import { describe, expect, it } from 'vitest'
import { rollout, rolloutSize, type RolloutView } from '../../../lib/rollout/rollout'
import { simdKernel } from '../../../lib/rollout/simd-kernel'
import { rolloutInThreads } from '../../../lib/store/rollout-threads'
import { benchCamera, benchSurface, dottedPicture } from '../rollout/journal-on-the-bench'

const size = rolloutSize(benchSurface, 8)
const views: RolloutView[] = [30, 100].map((angle) => ({
  picture: dottedPicture([{ u: 700, v: 600 }]),
  camera: benchCamera(angle),
  ignore: [],
}))
const toRead = views.map(({ picture, camera, ignore }) => ({ camera, ignore, read: async () => picture }))

describe('rollout in threads', () => {
  it('gives the same bytes as on one thread', async () => {
    const kernel = await simdKernel()
    const whole = rollout(benchSurface, views, size, { sampling: 'bicubic', ...(kernel && { kernel }) })
    const shared = await rolloutInThreads(benchSurface, toRead, size, 'bicubic')
    expect(Buffer.compare(Buffer.from(whole.rgba), Buffer.from(shared?.rgba ?? []))).toBe(0)
  })

  it('stops when told, and passes on what reading a picture throws', async () => {
    let read = 0
    const counted = toRead.map((photo) => {
      const counting = () => {
        read += 1
        return photo.read()
      }
      return { ...photo, read: counting }
    })
    expect(await rolloutInThreads(benchSurface, counted, size, 'bilinear', { stopped: () => read > 2 })).toBeNull()
    expect(read).toBeLessThan(5)
    const broken = [toRead[0], { ...toRead[1], read: () => Promise.reject(new Error('cut off')) }]
    await expect(rolloutInThreads(benchSurface, broken, size, 'bilinear')).rejects.toThrow('cut off')
  })
})

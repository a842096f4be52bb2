import { describe, expect, it } from 'vitest'
import { surfaceOf } from '../../lib/journal/surface'
import type { Camera } from '../../lib/photo/camera'
import { emptyPointView, rowView, viewPoint } from '../../lib/photo/row-view'
import { asRotation, randomCase } from '../fixtures/render/cases'
import { sight } from '../fixtures/render/handles'
import { meridianLength } from '../fixtures/render/metal'
import { noiseFrom } from '../fixtures/render/noise'

describe('what a camera sees, against rays cast through rendered journals', () => {
  it('agrees on which places are in sight and on their pixels, in 40 views with k1 and ends of any form', () => {
    const noise = noiseFrom(77)
    const point = emptyPointView()
    let [asked, wrong, seen] = [0, 0, 0]
    for (let seed = 1; seed <= 40; seed++) {
      const { metal, camera } = randomCase(seed, {
        ends: 'any',
        distortion: 'known',
        picks: { sidePoints: [3, 3], ringPoints: 5, rings: [], holes: false, clock: [] },
        marks: 0,
      })
      // The rule knows the end's own edge, not how far the web reaches beyond it.
      const edge = (end: typeof metal.front) => metal.radius + (end.form === 'tangent' ? end.radius : 0)
      const bare = { ...metal, frontWebRadius: edge(metal.front) - 1e-6, rearWebRadius: edge(metal.rear) - 1e-6 }
      const surface = surfaceOf({ diameter: 2 * metal.radius, width: metal.width, fillets: { front: metal.front, rear: metal.rear } })
      const lens = { width: camera.width, height: camera.height, focalPx: camera.focalPx, k1: camera.k1 }
      const ours = { ...lens, ...asRotation(camera) } as unknown as Camera
      for (let k = 0; k < 250; k++) {
        const theta = noise.uniform(0, 2 * Math.PI)
        const s = noise.uniform(0.02, 0.98) * meridianLength(metal)
        const truth = sight(bare, camera, theta, s)
        const view = viewPoint(rowView(surface, ours, s), Math.cos(theta), Math.sin(theta), point)
        const within = view && point.u >= 0 && point.v >= 0 && point.u <= camera.width && point.v <= camera.height
        const shown = within && point.cheekMargin >= 0 && point.cosIncidence > Math.cos((89 * Math.PI) / 180)
        asked++
        if (shown !== (truth !== null)) wrong++
        if (shown && truth) {
          seen++
          expect(Math.hypot(point.u - truth[0], point.v - truth[1])).toBeLessThan(1e-6)
        }
      }
    }
    expect(seen).toBeGreaterThan(2000)
    expect(wrong / asked).toBeLessThan(0.002)
  })
})

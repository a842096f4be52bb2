import { readdirSync, readFileSync } from 'node:fs'
import path from 'node:path'
import { describe, expect, it } from 'vitest'
import { randomCase } from '../fixtures/render/cases'
import { pickHandles } from '../fixtures/render/handles'
import { endArc, firstHit, meridianLength } from '../fixtures/render/metal'
import { noiseFrom } from '../fixtures/render/noise'
import { lookThrough, pixelOf } from '../fixtures/render/pinhole'

const folder = path.join(import.meta.dirname, '../fixtures/render')

describe('the renderer that other checks lean on', () => {
  it('imports nothing of lib', () => {
    const files = readdirSync(folder).filter((name) => name.endsWith('.ts'))
    expect(files.length).toBeGreaterThan(5)
    for (const name of files) {
      const imports = [...readFileSync(path.join(folder, name), 'utf8').matchAll(/from '([^']+)'/g)].map(([, from]) => from)
      for (const from of imports) expect(from, name).toMatch(/^(\.\/[a-z-]+|sharp|js-aruco2)$/)
    }
  })

  it('looks through a pixel where the pixel of the place is, with k1', () => {
    const { camera } = randomCase(1, { distortion: 'known' })
    for (const [u, v] of [
      [0, 0],
      [3999, 10],
      [2000, 1500],
      [700, 2900],
    ]) {
      const look = lookThrough(camera, u, v)
      const back = pixelOf(camera, [0, 1, 2].map((i) => camera.centre[i] + 250 * look[i]) as unknown as [number, number, number])
      expect(Math.hypot((back?.[0] ?? 0) - u, (back?.[1] ?? 0) - v)).toBeLessThan(1e-6)
    }
  })

  it('picks sides on the edge of what its rays hit: 2 px inwards is cylinder, 2 px outwards is not', () => {
    let picks = 0
    for (let seed = 1; seed <= 25; seed++) {
      const { metal, camera } = randomCase(seed, { distortion: 'known' })
      const order = { sidePoints: [5, 5] as [number, number], ringPoints: 7, rings: [], holes: false, clock: [], noisePx: 0 }
      const { sides } = pickHandles(metal, camera, order, noiseFrom(seed))
      const axis = pixelOf(camera, [0, 0, metal.width / 2]) as [number, number]
      for (const side of sides) {
        // Across the side, away from the axis in the picture.
        const [first, last] = [side[0], side[side.length - 1]]
        const size = Math.hypot(last[0] - first[0], last[1] - first[1])
        let normal = [-(last[1] - first[1]) / size, (last[0] - first[0]) / size]
        if ((axis[0] - first[0]) * normal[0] + (axis[1] - first[1]) * normal[1] > 0) normal = [-normal[0], -normal[1]]
        for (const [u, v] of side.slice(1, -1)) {
          picks++
          // Beside the cylinder a far fillet may show, so the cylinder itself is asked for.
          const meetsCylinder = (off: number) => {
            const hit = firstHit(metal, camera.centre, lookThrough(camera, u + off * normal[0], v + off * normal[1]))
            return hit?.part === 'journal' && hit.s > endArc(metal.front) && hit.s < meridianLength(metal) - endArc(metal.rear)
          }
          expect(meetsCylinder(-2), `seed ${seed}`).toBe(true)
          expect(meetsCylinder(2), `seed ${seed}`).toBe(false)
        }
      }
    }
    expect(picks).toBe(150)
  })
})

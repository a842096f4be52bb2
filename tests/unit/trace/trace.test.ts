/** Two taps on a crack: the line between them follows it, whatever the map's scale. */
import { describe, expect, it } from 'vitest'
import { type MapPoint, surfaceOf } from '../../../lib/journal/surface'
import { lineOf, traceService } from '../../../lib/trace/trace-service'
import { journalSchema } from '../../../lib/model/journal'

const journal = journalSchema.parse({
  id: 'P1',
  kind: 'pin',
  diameter: 40,
  width: 30,
  fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
})
const surface = surfaceOf(journal)

/** A crack that swings 1.2 mm to both sides of a slanted line, 12 mm long, from this angle on. */
const crackAt = (start: number, t: number): MapPoint => ({
  theta: start + (9 * t + 0.6 * Math.sin(9 * t)) / surface.radius,
  s: 11 + 8 * t + 1.2 * Math.sin(7 * t),
})

function mapWithCrack(pxPerMm: number, start: number, crack: [number, number, number] = [40, 38, 36], steel = 150) {
  const width = Math.round(2 * Math.PI * surface.radius * pxPerMm)
  const height = Math.round(surface.totalS * pxPerMm)
  const rgba = new Uint8ClampedArray(width * height * 4)
  let state = 1
  for (let i = 0; i < width * height; i++) {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0
    const lay = 8 * Math.sin(Math.floor(i / width) * 1.7)
    const grey = steel + lay + ((state >>> 24) - 128) / 16
    rgba.set([grey, grey, grey, 255], 4 * i)
  }
  const half = 0.06 * pxPerMm
  for (let k = 0; k <= 4000; k++) {
    const { theta, s } = crackAt(start, k / 4000)
    const x = (theta / (2 * Math.PI)) * width
    const y = (1 - s / surface.totalS) * height
    for (let dy = -2; dy <= 2; dy++) {
      for (let dx = -2; dx <= 2; dx++) {
        const [px, py] = [Math.floor(x) + dx, Math.floor(y) + dy]
        const far = Math.hypot(px + 0.5 - x, py + 0.5 - y)
        if (far > half + 0.5) continue
        const at = 4 * (py * width + (((px % width) + width) % width))
        const share = Math.min(1, half + 0.5 - far)
        for (let c = 0; c < 3; c++) rgba[at + c] = Math.min(rgba[at + c], Math.round((1 - share) * rgba[at + c] + share * crack[c]))
      }
    }
  }
  return { width, height, rgba }
}

function trace(map: ReturnType<typeof mapWithCrack>, from: MapPoint, to: MapPoint): MapPoint[] {
  let answer: MapPoint[] | null = null
  const handle = traceService((message) => {
    answer = message.points
  })
  handle({ say: 'map', map, surface })
  handle({ say: 'follow', id: 1, from, to, snap: true })
  if (!answer) throw new Error('no way was found')
  return answer
}

/** The furthest that any place of the crack lies from the traced line, mm on the cylinder. */
function furthest(line: MapPoint[], start: number): number {
  let worst = 0
  for (let k = 4; k <= 96; k++) {
    const at = crackAt(start, k / 100)
    let nearest = Infinity
    for (let i = 1; i < line.length; i++) {
      const [a, b] = [line[i - 1], line[i]]
      for (let j = 0; j <= 20; j++) {
        const theta = a.theta + ((b.theta - a.theta) * j) / 20
        nearest = Math.min(nearest, Math.hypot((theta - at.theta) * surface.radius, a.s + ((b.s - a.s) * j) / 20 - at.s))
      }
    }
    worst = Math.max(worst, nearest)
  }
  return worst
}

describe('tracing a crack between two taps', () => {
  const tapped = (start: number) => {
    const [a, b] = [crackAt(start, 0), crackAt(start, 1)]
    return [
      { theta: a.theta + 0.2 / surface.radius, s: a.s - 0.2 },
      { theta: b.theta, s: b.s + 0.25 },
    ] as const
  }

  it('stays within 0.15 mm of it, taps set a quarter of a mm beside it', () => {
    const [from, to] = tapped(1)
    expect(furthest(trace(mapWithCrack(12, 1), from, to), 1)).toBeLessThan(0.15)
  })

  it('gives the same line on a coarser map', () => {
    const [from, to] = tapped(1)
    expect(furthest(trace(mapWithCrack(8, 1), from, to), 1)).toBeLessThan(0.2)
  })

  it('goes on across the seam and past 360 degrees', () => {
    const start = 2 * Math.PI - 0.2
    const [from, to] = tapped(start)
    const line = trace(mapWithCrack(12, start), from, to)
    expect(furthest(line, start)).toBeLessThan(0.15)
    expect(line[line.length - 1].theta).toBeGreaterThan(2 * Math.PI)
  })

  it('needs far fewer vertices than pixels', () => {
    const [from, to] = tapped(1)
    expect(trace(mapWithCrack(12, 1), from, to).length).toBeLessThan(40)
  })

  it('takes glowing lines on a dark blue map for bright ones', () => {
    const map = mapWithCrack(8, 1)
    expect(lineOf(map)).toBe('dark')
    for (let i = 0; i < map.rgba.length; i += 4) map.rgba.set([20, 24, 60], i)
    expect(lineOf(map)).toBe('bright')
  })

  it('goes straight over bare steel, where nothing is to be followed', () => {
    const map = mapWithCrack(12, 1)
    const [from, to] = [
      { theta: 3, s: 10 },
      { theta: 3.6, s: 17 },
    ]
    const line = trace(map, from, to)
    expect(line).toHaveLength(2)
    expect(Math.hypot((line[0].theta - from.theta) * surface.radius, line[0].s - from.s)).toBeLessThan(0.2)
  })
})

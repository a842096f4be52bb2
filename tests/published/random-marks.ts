/**
 * Random marks on random journals in random photographs: lines, patches, patches that a person named pit or stain, anywhere in sight and by
 * preference near a limit; every kind of handles, of lens, and photographs with gross errors among the picks.
 */
import { type CaseOptions, type RenderedCase, randomCase } from '../fixtures/render/cases'
import { holeArc } from '../fixtures/render/drawn-line'
import { type RingName, sight } from '../fixtures/render/handles'
import { endArc, type Metal, meridianLength } from '../fixtures/render/metal'
import { type Noise, noiseFrom } from '../fixtures/render/noise'
import type { Pinhole } from '../fixtures/render/pinhole'
import { spoilPicks } from './gross-picks'
import type { DrawnMark } from './rules-by-truth'

export type MarkedCase = {
  rendered: RenderedCase
  marks: DrawnMark[]
  inspection: Record<string, unknown>
  spoilt: number
  holeSpoilt: boolean
}

const marksPerCase = 12
const steepestDeg = 75

export function markedCase(seed: number): MarkedCase {
  const noise = noiseFrom(500_000_000 + seed)
  const options = randomOptions(noise)
  const rendered = randomCase(seed, { ...options, marks: 0 })
  const spoilt = noise.chance(0.25) ? spoilPicks(rendered, 900_000_000 + seed) : []
  const marks: DrawnMark[] = []
  for (let attempt = 0; attempt < 600 && marks.length < marksPerCase; attempt++) {
    const mark = randomMark(rendered, noise, `m${marks.length + 1}`)
    if (mark) marks.push(mark)
  }
  const inspection = {
    ...rendered.inspection,
    marks: marks.map(({ id, shape, named, vertices }) => ({
      id,
      journalId: 'J1',
      photoId: 'ph1',
      shape,
      ...(named ? { named } : {}),
      pixels: vertices.map(({ theta, s }) => {
        const [u, v] = sight(rendered.metal, rendered.camera, theta, s) as [number, number]
        return [u + 0.7 * noise.normal(), v + 0.7 * noise.normal()]
      }),
    })),
  }
  return { rendered, marks, inspection, spoilt: spoilt.length, holeSpoilt: spoilt.some(({ part }) => part === 'hole') }
}

function randomOptions(noise: Noise): Partial<CaseOptions> {
  const pick = <T>(...choices: T[]): T => choices[Math.floor(noise.uniform(0, choices.length))]
  const rings = pick<RingName[]>(
    ['front-fillet', 'rear-fillet'],
    ['front-fillet', 'rear-fillet'],
    ['front-cheek', 'rear-fillet'],
    ['front-fillet'],
    [],
  )
  return {
    focalKnown: noise.chance(0.6),
    distortion: pick('none', 'none', 'known', 'solve'),
    ends: pick('tangent', 'any'),
    picks: { sidePoints: pick([5, 5], [5, 5], [3, 4]), ringPoints: pick(5, 7), rings, holes: noise.chance(0.75), clock: [] },
  }
}

function randomMark({ metal, camera }: RenderedCase, noise: Noise, id: string): DrawnMark | null {
  const centre = noise.chance(0.5) ? anywhere(metal, camera, noise) : nearALimit(metal, camera, noise)
  const lean = (noise.uniform(-90, 90) * Math.PI) / 180
  const area = noise.chance(0.65)
  const length = area ? noise.uniform(0.8, 6) : noise.uniform(2, 22)
  const flat = area ? patchOutline(length, length / noise.uniform(1, 4.2), noise) : crookedLine(length, noise)
  const vertices = flat.map(([along, across]) => ({
    theta: centre.theta + (along * Math.sin(lean) + across * Math.cos(lean)) / metal.radius,
    s: centre.s + along * Math.cos(lean) - across * Math.sin(lean),
  }))
  const total = meridianLength(metal)
  const inside = vertices.every(({ theta, s }) => s > 0.05 && s < total - 0.05 && sight(metal, camera, theta, s, steepestDeg) !== null)
  if (!inside) return null
  const named = area && noise.chance(0.8) ? (noise.chance(0.5) ? ('pit' as const) : ('stain' as const)) : undefined
  return { id, widthMm: 0.2, vertices, shape: area ? 'area' : 'line', ...(named ? { named } : {}) }
}

function anywhere(metal: Metal, camera: Pinhole, noise: Noise) {
  return { theta: Math.atan2(camera.centre[1], camera.centre[0]) + noise.uniform(-1.2, 1.2), s: noise.uniform(0, meridianLength(metal)) }
}

/** Beside the edge of a fillet's band or of an oil hole. */
function nearALimit(metal: Metal, camera: Pinhole, noise: Noise) {
  const place = anywhere(metal, camera, noise)
  const [hole] = metal.holes
  if (hole && noise.chance(0.5)) {
    const away = Math.max(hole.mouthAround, hole.mouthAlong) / 2 + noise.uniform(-1, 8)
    const turn = noise.uniform(0, 2 * Math.PI)
    return {
      theta: (hole.angleDeg * Math.PI) / 180 + (away * Math.cos(turn)) / metal.radius,
      s: holeArc(metal, hole) + away * Math.sin(turn),
    }
  }
  const front = noise.chance(0.5)
  const end = front ? metal.front : metal.rear
  const band = end.form === 'tangent' ? Math.max(1.5 * end.radius, 3.2) : 3.2
  const from = endArc(end) + band + noise.uniform(-2, 4)
  return { ...place, s: front ? from : meridianLength(metal) - from }
}

/** A ragged oval of six to ten vertices. */
function patchOutline(length: number, width: number, noise: Noise): [number, number][] {
  const count = Math.floor(noise.uniform(6, 11))
  return Array.from({ length: count }, (_, k) => {
    const angle = (2 * Math.PI * k) / count
    const ragged = noise.uniform(0.85, 1.1)
    return [(length / 2) * ragged * Math.cos(angle), (width / 2) * ragged * Math.sin(angle)]
  })
}

function crookedLine(length: number, noise: Noise): [number, number][] {
  const count = Math.max(2, Math.round(length / 2.5))
  const bow = noise.uniform(-0.15, 0.15) * length
  return Array.from({ length: count }, (_, k) => {
    const t = k / (count - 1) - 0.5
    return [length * t, bow * (4 * t * t - 0.5) + 0.1 * noise.normal()]
  })
}

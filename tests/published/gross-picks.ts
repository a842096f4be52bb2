/**
 * Spoils rendered handles as hands do: up to one pick in six lies far off (its distance measured across the curve that it was picked on,
 * because a pick that has only slid along its side or ring is no worse for it), or a whole ring lies on its neighbour, or the hole was tapped wrongly.
 */
import { type CaseOptions, type RenderedCase, randomCase } from '../fixtures/render/cases'
import type { Picks, RingName } from '../fixtures/render/handles'
import { type Noise, noiseFrom } from '../fixtures/render/noise'

/** Where a spoilt pick stands in the handles. */
export type Spoilt = { part: 'side' | 'ring' | 'hole'; list: number; index: number; offPx: number }

/** Least and greatest distance that a pick is put off, px of a picture 4000 wide: a wrong edge, a slip, a tap elsewhere. */
const offPx = [8, 250] as const

/** Moves between one and a sixth of all picks; the handles of the case are changed in place. */
export function spoilPicks(rendered: RenderedCase, seed: number): Spoilt[] {
  const noise = noiseFrom(seed)
  const { handles } = rendered.inspection.photos[0]
  const places = [
    ...handles.sides.flatMap((points, list) => points.map((_, index) => ({ part: 'side' as const, list, index }))),
    ...handles.rings.flatMap(({ points }, list) => points.map((_, index) => ({ part: 'ring' as const, list, index }))),
    ...handles.oilHoles.map((_, index) => ({ part: 'hole' as const, list: 0, index })),
  ]
  const most = Math.floor(places.length / 6)
  const count = 1 + Math.floor(noise.uniform(0, most))
  const chosen = places
    .map((place) => ({ place, order: noise.uniform(0, 1) }))
    .sort((a, b) => a.order - b.order)
    .slice(0, count)
  const before = structuredClone(handles)
  return chosen.map(({ place }) => {
    const off = Math.exp(noise.uniform(Math.log(offPx[0]), Math.log(offPx[1])))
    move(handles, before, place, off, noise)
    return { ...place, offPx: off }
  })
}

function move(handles: Picks, before: Picks, { part, list, index }: Omit<Spoilt, 'offPx'>, off: number, noise: Noise): void {
  const turn = noise.uniform(0, 2 * Math.PI)
  if (part === 'hole') {
    const [u, v] = before.oilHoles[index].center
    handles.oilHoles[index].center = [u + off * Math.cos(turn), v + off * Math.sin(turn)]
    return
  }
  const [old, now] = part === 'side' ? [before.sides[list], handles.sides[list]] : [before.rings[list].points, handles.rings[list].points]
  const [a, b] = [old[Math.max(0, index - 1)], old[Math.min(old.length - 1, index + 1)]]
  const length = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1
  const [alongU, alongV] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length]
  const across = noise.chance(0.5) ? off : -off
  const slid = noise.uniform(-1, 1) * off
  now[index] = [old[index][0] - across * alongV + slid * alongU, old[index][1] + across * alongU + slid * alongV]
}

const neighbours: Partial<Record<RingName, RingName>> = { 'front-fillet': 'front-cheek', 'rear-fillet': 'rear-cheek' }

/** A case whose ring of the given name was picked on the neighbouring one: everything else is as it should be. */
export function misnamedRing(seed: number, named: RingName, options: Partial<CaseOptions>): RenderedCase {
  const at = neighbours[named] ?? named
  const rings = (['front-fillet', 'rear-fillet'] as const).map((own) => (own === named ? at : own))
  const rendered = randomCase(seed, { ...options, picks: { sidePoints: [5, 5], ringPoints: 7, rings, holes: true, clock: [] } })
  for (const ring of rendered.inspection.photos[0].handles.rings) if (ring.at === at) ring.at = named
  return rendered
}

/** A pick's place in a word, for finding a spoilt one in what the fit says. */
export function placeName({ part, list, index }: Omit<Spoilt, 'offPx'>): string {
  return `${part} ${list} ${index}`
}

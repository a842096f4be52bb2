/**
 * What to photograph next: the standpoint from which one more picture would show most of what no photograph shows well yet. Photographs that are
 * only roughly fitted count as seen here, and here alone: once their fit is mended they show it. A standpoint that was taken already is not asked
 * for again: what it did not show lay hidden, and would again.
 */
import type { MapPoint, Surface } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Pixel } from '../model/photo'
import { type Camera, focalPxOf35 } from './camera'
import { coverageOf } from './coverage'
import { apartDeg, type Lens, type Standpoint, standpointOf } from './standpoint'
import { addedBy, cellWorths, gainOf, outlineOf, type PartGain, type StandpointView } from './standpoint-gain'

/** One photograph of the journal, in the order taken; `fit` null where it has none yet. */
export type TakenPhoto = {
  id: string
  fit: { camera: Camera; trusted: boolean; rollKnown: boolean; slideKnown: boolean } | null
  ignore: readonly (readonly Pixel[])[]
}

export type NextPhoto =
  /** Take a picture from there. */
  | {
      kind: 'take'
      standpoint: Standpoint
      /** Outline of what it would show well, closed; angles may run past a turn. */
      outline: MapPoint[]
      /** What it would add, the greatest share first. */
      gains: PartGain[]
      /** Whether most of what it adds lies on the inner half of a pin; null on a main, which has none. */
      mostlyInner: boolean | null
      angleFrom: AngleSource
      /** Degrees to turn the journal before a camera that stays, clockwise seen from the front, -180..180; null where there is no photograph yet. */
      turnDeg: number | null
    }
  /** Photographs are there, but none tells its angle about the shaft: nothing can be placed before one does. */
  | { kind: 'angle-first'; photoIds: string[]; hasHole: boolean }
  /** No standpoint would add what is worth a picture. */
  | { kind: 'nothing-more' /** Such pictures have too few px per mm from as near as a camera focuses. */; tooCoarse: boolean }

/** What will tell the new picture's angle about the shaft: a hole in view, the overlap with a neighbour, or nothing yet. */
export type AngleSource = { by: 'hole'; id: string } | { by: 'neighbour'; photoId: string } | { by: 'nothing' }

/** The least gain that is worth a picture: share of the whole weighted surface. */
export const leastGain = 0.01
const facingStepDeg = 5
/** Standpoints nearer to one that was taken than this count as taken, where its picture was about as sharp. */
const takenWithin = { facingDeg: 10, leanDeg: 8, sharpness: 0.8 }
/** A hole this far from where the camera faces can still be picked; a neighbour this far overlaps enough to be laid beside it. */
const holeWithinDeg = 45
const neighbourWithinDeg = 55
/**
 * Worth of a gain whose picture must bring its own witness mark; of one so near that the sides are cut off; lost with each degree of lean, more
 * before the inner half of a pin, where the webs leave less room to lean. Of our own, no source.
 */
const worth = { withoutAngle: 0.5, close: 0.8, perLeanDeg: 0.0005, perLeanDegInside: 0.008 }
const insideDeg = 60
/** Standpoints whose worth differs less than this are alike: the one reached with less turning is taken. */
const alike = 0.02

/** @param views of `standpointViews` for this surface and the usual lens */
export function nextPhoto(journal: Journal, surface: Surface, taken: readonly TakenPhoto[], views: readonly StandpointView[]): NextPhoto {
  const fitted = taken.flatMap(({ id, fit, ignore }) => (fit?.slideKnown ? [{ id, ignore, ...fit }] : []))
  const placed = fitted.filter((photo) => photo.rollKnown)
  if (placed.length === 0 && fitted.length > 0)
    return { kind: 'angle-first', photoIds: fitted.map((photo) => photo.id), hasHole: journal.oilHoles.length > 0 }
  const { grid } = coverageOf(surface, [], placed)
  const worths = cellWorths(journal, surface, grid)
  const whole = worths.reduce((sum, value) => sum + value, 0)
  const missing = worths.map((value, cell) => (grid.seen[cell] === 1 ? 0 : value / whole))
  const standing = placed.map((photo) => standingOf(photo.id, surface, photo.camera))
  const last = standing.at(-1)
  const candidates = views.flatMap((view) =>
    facingsDeg.flatMap((facingDeg) => {
      const gain = gainOf(view, facingDeg, missing, grid)
      if (gain < leastGain || standing.some((photo) => isTaken(photo, view, facingDeg))) return []
      const angleFrom = angleSource(journal, facingDeg, standing)
      const inside = journal.kind === 'pin' && apartDeg(facingDeg, 180) < insideDeg
      const value =
        gain *
        (angleFrom.by === 'nothing' ? worth.withoutAngle : 1) *
        (view.nearness === 'close' ? worth.close : 1) *
        (1 - (inside ? worth.perLeanDegInside : worth.perLeanDeg) * Math.abs(view.leanDeg))
      const turning = last ? Math.round(apartDeg(last.facingDeg, facingDeg)) : 0
      return [{ view, facingDeg, value, angleFrom, turning, onward: last ? wrappedDeg(facingDeg - last.facingDeg) : -facingDeg }]
    }),
  )
  const best = Math.max(0, ...candidates.map((one) => one.value))
  const [chosen] = candidates
    .filter((one) => one.value >= best * (1 - alike))
    .sort((a, b) => a.turning - b.turning || b.onward - a.onward || b.value - a.value)
  if (!chosen) return { kind: 'nothing-more', tooCoarse: views.every((view) => view.cells.length === 0) }
  const { view, facingDeg, angleFrom } = chosen
  const { gains, innerShare } = addedBy(surface, grid, view, facingDeg)
  return {
    kind: 'take',
    standpoint: { facingDeg, leanDeg: view.leanDeg, nearness: view.nearness },
    outline: outlineOf(view, facingDeg, grid),
    gains,
    mostlyInner: journal.kind === 'pin' ? innerShare > 0.6 : null,
    angleFrom,
    turnDeg: last ? wrappedDeg(Math.round(last.facingDeg - facingDeg)) : null,
  }
}

/**
 * The lens of the photographs so far, the middle one by focal length, to a twentieth of the picture's width: fits that change a little leave it as
 * it is. Without any, a phone's main camera (26 mm equivalent; common practice, no source).
 */
export function usualLens(taken: readonly TakenPhoto[]): Lens {
  const cameras = taken.flatMap(({ fit }) => (fit ? [fit.camera] : []))
  const relative = ({ focalPx, width, height }: Lens) => focalPx / Math.hypot(width, height)
  const middle = [...cameras].sort((a, b) => relative(a) - relative(b))[Math.floor(cameras.length / 2)]
  if (middle) {
    const { width, height } = middle
    return { width, height, focalPx: Math.max(1, Math.round((20 * middle.focalPx) / width)) * (width / 20) }
  }
  return { width: 4000, height: 3000, focalPx: focalPxOf35(26, 4000, 3000) }
}

const facingsDeg = Array.from({ length: 360 / facingStepDeg }, (_, i) => i * facingStepDeg)

/** To a hundredth of a degree: two places that are one and the same compare alike. */
function standingOf(id: string, surface: Surface, camera: Camera) {
  const { facingDeg, leanDeg, pxPerMm } = standpointOf(surface, camera)
  return { id, facingDeg: Math.round(facingDeg * 100) / 100, leanDeg: Math.round(leanDeg * 100) / 100, pxPerMm }
}

function isTaken(photo: ReturnType<typeof standingOf>, view: StandpointView, facingDeg: number): boolean {
  return (
    apartDeg(photo.facingDeg, facingDeg) <= takenWithin.facingDeg &&
    Math.abs(photo.leanDeg - view.leanDeg) <= takenWithin.leanDeg &&
    photo.pxPerMm >= takenWithin.sharpness * view.pxPerMm
  )
}

function angleSource(journal: Journal, facingDeg: number, standing: readonly { id: string; facingDeg: number }[]): AngleSource {
  const nearest = <One extends { id: string; deg: number }>(all: readonly One[], within: number) =>
    all
      .map(({ id, deg }) => ({ id, off: apartDeg(deg, facingDeg) }))
      .sort((a, b) => a.off - b.off)
      .find(({ off }) => off <= within)
  const hole = nearest(
    journal.oilHoles.map(({ id, angleDeg }) => ({ id, deg: angleDeg })),
    holeWithinDeg,
  )
  if (hole) return { by: 'hole', id: hole.id }
  const beside = nearest(
    standing.map(({ id, facingDeg: deg }) => ({ id, deg })),
    neighbourWithinDeg,
  )
  return beside ? { by: 'neighbour', photoId: beside.id } : { by: 'nothing' }
}

/** Within -180 (not included) and 180. */
function wrappedDeg(deg: number): number {
  const turn = ((deg % 360) + 360) % 360
  return turn > 180 ? turn - 360 : turn
}

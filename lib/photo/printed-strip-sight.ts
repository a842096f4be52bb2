/**
 * One photograph against the strip alone, wherever that lies about the shaft: its camera relative to the strip, which of the
 * found codes agree with one band round one journal, and how good their corners are.
 */
import type { Surface } from '../journal/surface'
import { baseOf, type FitBase, unknownIndex } from './fit-state'
import type { FitTask } from './fit-task'
import { markerResiduals, type SeenMarker, type StripLie } from './printed-strip-corners'
import { placeOfId, type StripDesign } from './printed-strip-design'
import type { StripMarker } from './printed-strip-markers'
import { type PlacementPriors, type StripPhoto, type StripSolution, solveStrip } from './printed-strip-solve'
import { type StripLens, stripStarts } from './printed-strip-start'
import type { StripPlacement, StripSeat } from './printed-strip-wrap'

/** The strip lies as this photograph alone has it: where it begins is not open. */
export type StripSight = StripLie & {
  base: FitBase
  growth: number
  /** Codes that agree, in the order of the strip. */
  markers: SeenMarker[]
  /** Root mean square of the whitened corner residuals: 1 where the corners are as good as usual. */
  noise: number
  /** How well its scale was held to be known. */
  scaleSigma: number
}

/** What is known of a photograph besides its codes. */
export type StripView = { lens: StripLens; task: FitTask }

/** Skew of a strip wrapped by hand, mm over its length. */
export const skewSigmaMm = 0.3
/** Of the scale, for one photograph: as of a strip that closes, since a long lens would take a part of it; of a print that does not. */
const scaleSigmas = { closed: 0.002, open: 0.02 } as const
/** A corner this many times its usual noise off belongs to no code of this strip, or was found badly. */
const gateSigmas = 6
/** Codes that poses are tried from, those that decide among them, and the share of all codes that ends the trying. */
const startCodes = 3
const roughCodes = 7
const enoughShare = 0.6

/** Of corners found well, and of corners as a program finds them at first sight. */
const usualNoises = [3, 12] as const

/**
 * Null where no camera agrees with the codes. `placement`: where the strip begins. `cornerNoises`: how bad the corners may be, in
 * usual corners, tried one after the other until most codes agree.
 */
export function sightOfStrip(
  seat: StripSeat,
  surface: Surface,
  placement: StripPlacement,
  markers: readonly SeenMarker[],
  view: StripView,
  cornerNoises: readonly number[] = usualNoises,
): StripSight | null {
  let best: StripSight | null = null
  const start: StripLie = { placement, shifts: new Map() }
  const few = largest(markers, roughCodes)
  for (const scaleSigma of [scaleSigmas.closed, scaleSigmas.open]) {
    const priors = begun(placement, scaleSigma)
    for (const marker of few.slice(0, startCodes)) {
      let end: StripSolution | null = null
      for (const base of stripStarts(seat, surface, marker, placement, view.lens)) {
        const tried = solveStrip(seat, [photoOf(view, { base, growth: 0, markers: few }, roughNoise)], start, priors, roughSteps)
        if (tried && (!end || tried.cost < end.cost)) end = tried
      }
      for (const noise of cornerNoises) {
        const sight = end && settled(seat, view, priors, end, markers, [4 * noise, 1.7 * noise, noise])
        if (sight && (!best || sight.markers.length > best.markers.length)) best = { ...sight, scaleSigma }
        if (best && best.markers.length >= enoughShare * markers.length) break
      }
      if (best && best.markers.length >= enoughShare * markers.length) break
    }
    if (best && best.markers.length >= enoughShare * markers.length) break
  }
  return best
}

/** The same from a sight that is nearly right, with better corners. */
export function sharperSight(seat: StripSeat, before: StripSight, markers: readonly SeenMarker[], view: StripView): StripSight | null {
  const { placement, scaleSigma } = before
  const priors = begun(placement, scaleSigma)
  const end = solveStrip(seat, [photoOf(view, { ...before, markers }, 4)], before, priors)
  const sharper = end && settled(seat, view, priors, end, markers, [2, 1])
  return sharper && { ...sharper, scaleSigma }
}

/** Corners count for little while poses are tried, and each is followed this many steps. */
const roughNoise = 40
const roughSteps = 15

function settled(
  seat: StripSeat,
  view: StripView,
  priors: PlacementPriors,
  rough: StripSolution,
  markers: readonly SeenMarker[],
  noises: readonly number[],
): Omit<StripSight, 'scaleSigma'> | null {
  let end = rough
  let kept = markers
  for (const noise of noises) {
    kept = agreeing(seat, markers, end, gateSigmas * noise)
    if (kept.length === 0) return null
    const { state, growth } = end.photos[0]
    const photo = photoOf(view, { base: baseOf(state.camera, state.surface), growth, markers: kept }, noise)
    const next = solveStrip(seat, [photo], end, priors)
    if (!next) return null
    end = next
  }
  const { state, growth } = end.photos[0]
  return {
    base: baseOf(state.camera, state.surface),
    growth,
    placement: end.placement,
    shifts: end.shifts,
    markers: [...kept],
    noise: noiseOf(seat, kept, end),
  }
}

export function seenMarkers(design: StripDesign, markers: readonly StripMarker[]): SeenMarker[] {
  return markers
    .flatMap(({ id, corners }) => {
      const place = placeOfId(design, id)
      return place === null ? [] : [{ place, corners }]
    })
    .sort((a, b) => a.place - b.place)
}

/** Root mean square of the whitened corner residuals of one photograph; pose, lens and ink take up about nine, and each code's shift one. */
export function noiseOf(seat: StripSeat, markers: readonly SeenMarker[], solution: StripSolution, at = 0): number {
  const { state, growth } = solution.photos[at]
  let sum = 0
  let count = 0
  for (const marker of markerResiduals(seat, { markers, noise: 1 }, state, growth, solution))
    for (const { residual } of marker ?? []) {
      sum += residual ** 2
      count++
    }
  return Math.sqrt(sum / Math.max(1, count - 9 - markers.length))
}

function photoOf(
  { task }: StripView,
  { base, growth, markers }: Pick<StripSight, 'base' | 'growth'> & { markers: readonly SeenMarker[] },
  noise: number,
): StripPhoto {
  const unknowns = [...new Set([...task.unknowns, unknownIndex.roll, unknownIndex.slide])].sort((a, b) => a - b)
  return { task: { ...task, observations: [], unknowns }, base, growth, markers, noise, contourSigns: [1, -1], rims: [] }
}

/** Where the strip begins is settled; its skew and scale are roughly known, which a photograph of the seam needs. */
function begun(placement: StripPlacement, scaleSigma: number): PlacementPriors {
  return {
    value: { ...placement, skew: 0 },
    sigma: { zeroAngle: 1e-6, frontEdge: 1e-6, skew: skewSigmaMm, scale: scaleSigma },
  }
}

function largest(markers: readonly SeenMarker[], count: number): SeenMarker[] {
  const area = ({ corners: [a, b, c, d] }: SeenMarker) => Math.abs((c.u - a.u) * (d.v - b.v) - (c.v - a.v) * (d.u - b.u))
  return [...markers].sort((a, b) => area(b) - area(a)).slice(0, count)
}

function agreeing(seat: StripSeat, markers: readonly SeenMarker[], solution: StripSolution, limit: number): SeenMarker[] {
  const { state, growth } = solution.photos[0]
  const measured = markerResiduals(seat, { markers, noise: 1 }, state, growth, solution)
  return markers.filter((_, i) => measured[i]?.every(({ residual }) => Math.abs(residual) <= limit))
}

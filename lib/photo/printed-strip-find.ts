/**
 * The strip's codes in one photograph: seen roughly at several sizes of the picture, a camera from those, then every code
 * that this camera says is in sight measured by all its edges, and once more with the better camera; and the rims of what
 * looks like an oil hole of the journal to it.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { PhotoPoint } from './camera'
import { stateAt, unknownCount } from './fit-state'
import type { LensData } from './lens-priors'
import { cellsPerSide, markerCorners, placeOfId } from './printed-strip-design'
import { measuredMarkers } from './printed-strip-edges'
import { type FoundStrip, loosePlacement, seatOf, viewOf } from './printed-strip-fit'
import { findMarkers, type GreyBytes, type StripMarker } from './printed-strip-markers'
import { mouthRims } from './printed-strip-mouths'
import { seenMarkers, sharperSight, sightOfStrip, type StripSight } from './printed-strip-sight'
import { seenPlace, type StripSeat, wrappedPoint } from './printed-strip-wrap'

/** Usual corners' noise to a px of rough corners, so that three deviations of these still agree. */
const noisePerPx = 3.3
/** Measured again while the last round still brought codes or moved the corners by more than this share of a cell. */
const mostRounds = 6
const restCells = 0.01

/** Codes measured well, then those seen roughly that lie elsewhere than the camera says: they tell of another strip, or of a piece joined wrongly. */
export function findStrip(journal: Journal, photo: Photo, lens: LensData | null, picture: GreyBytes): FoundStrip {
  const { markers: rough, cornerPx } = findMarkers(picture)
  const seat = seatOf(journal)
  if (!seat) return { markers: rough, rims: [] }
  const view = viewOf(journal, photo, lens)
  const noise = cornerPx * noisePerPx
  const first = sightOfStrip(seat, surfaceOf(journal), loosePlacement(journal), seenMarkers(seat.design, rough), view, [noise, 2 * noise])
  if (!first) return { markers: rough, rims: [] }
  let sight: StripSight = first
  for (let round = 0; round < mostRounds; round++) {
    const measured = measuredMarkers(picture, seat, stateAt(sight.base, new Float64Array(unknownCount)), sight.placement)
    const sharper: StripSight | null = measured.length > 0 ? sharperSight(seat, sight, measured, view) : null
    if (!sharper) break
    const rests = restsAt(seat, sight, sharper)
    sight = sharper
    if (rests) break
  }
  const found = sight.markers.map(({ place, corners }): StripMarker => {
    const [a, b, c, d] = corners
    return { id: seat.design.firstId + place, corners: [a, b, c, d] }
  })
  const last = sight
  const elsewhere = rough.filter((one) => !found.some(({ id }) => one.id === id) && !near(seat, last, one))
  return { markers: [...found, ...elsewhere], rims: mouthRims(picture, journal, seat, last) }
}

/** Do two sights show the same codes at the same places? */
function restsAt(seat: StripSeat, before: StripSight, now: StripSight): boolean {
  if (before.markers.length !== now.markers.length) return false
  const cell = (corners: readonly PhotoPoint[]) =>
    Math.hypot(corners[0].u - corners[2].u, corners[0].v - corners[2].v) / (Math.SQRT2 * cellsPerSide)
  const predicted = (sight: StripSight, place: number) =>
    markerCorners(seat.design, place).map((flat) => {
      const at = wrappedPoint(seat, sight.placement, flat).point
      return seenPlace(stateAt(sight.base, new Float64Array(unknownCount)), at)
    })
  return now.markers.every(({ place, corners }) => {
    const was = predicted(before, place)
    return predicted(now, place).every((one, i) => {
      const old = was[i]
      return one !== null && old !== null && Math.hypot(one.u - old.u, one.v - old.v) <= restCells * cell(corners)
    })
  })
}

/** Does a code seen roughly lie within a cell of where it is predicted? */
function near(seat: StripSeat, { base, placement }: StripSight, { id, corners }: StripMarker): boolean {
  const place = placeOfId(seat.design, id)
  if (place === null) return false
  const state = stateAt(base, new Float64Array(unknownCount))
  const side = Math.hypot(corners[0].u - corners[2].u, corners[0].v - corners[2].v) / Math.SQRT2
  return markerCorners(seat.design, place).every((flat, i) => {
    const seen = seenPlace(state, wrappedPoint(seat, placement, flat).point)
    return seen !== null && Math.hypot(seen.u - corners[i].u, seen.v - corners[i].v) < side / cellsPerSide
  })
}

/** Luma (ITU-R BT.601) of an RGB or RGBA picture. */
export function greyOf({
  width,
  height,
  channels,
  data,
}: {
  width: number
  height: number
  channels: 3 | 4
  data: ArrayLike<number>
}): GreyBytes {
  const grey = new Uint8Array(width * height)
  for (let i = 0, at = 0; i < grey.length; i++, at += channels)
    grey[i] = (77 * data[at] + 150 * data[at + 1] + 29 * data[at + 2] + 128) >> 8
  return { width, height, data: grey }
}

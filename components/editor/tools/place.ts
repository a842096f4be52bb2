/** A place that a pointer can point at: a pixel of a photograph or a point of the map. */
import { sOfAxial, type Surface } from '@/lib/journal/surface'
import type { Mark } from '@/lib/model/mark'

export type PhotoPlace = { on: 'photo'; photoId: string; u: number; v: number }
export type MapPlace = { on: 'map'; theta: number; s: number }
export type Place = PhotoPlace | MapPlace

/** Where a mark's points are kept: on one photograph, or on the map. */
export type Ground = { on: 'photo'; photoId: string } | { on: 'map' }

export function groundOf(place: Place): Ground {
  return place.on === 'photo' ? { on: 'photo', photoId: place.photoId } : { on: 'map' }
}

export function sameGround(one: Ground, other: Ground): boolean {
  return one.on === 'photo' && other.on === 'photo' ? one.photoId === other.photoId : one.on === other.on
}

export function groundOfMark(mark: Mark): Ground {
  return mark.photoId !== undefined && mark.pixels ? { on: 'photo', photoId: mark.photoId } : { on: 'map' }
}

/** The mark's vertices where they are kept. */
export function placesOf(mark: Mark, surface: Surface): Place[] {
  const { photoId, pixels, points } = mark
  if (photoId !== undefined && pixels) return pixels.map(([u, v]) => ({ on: 'photo', photoId, u, v }))
  return (points ?? []).map((point) => ({
    on: 'map',
    theta: (point.angleDeg * Math.PI) / 180,
    s: 's' in point ? point.s : sOfAxial(surface, point.axial),
  }))
}

/** The mark with its vertices at other places, all of one ground. */
export function withPlaces(mark: Mark, places: readonly Place[]): Mark {
  const { points: _points, photoId: _photoId, pixels: _pixels, ...rest } = mark
  const photos = places.filter((place) => place.on === 'photo')
  const first = photos[0]
  if (first) return { ...rest, photoId: first.photoId, pixels: photos.map(({ u, v }) => [rounded(u, 2), rounded(v, 2)]) }
  const points = unwrapped(places).filter((place) => place.on === 'map')
  return { ...rest, points: points.map(({ theta, s }) => ({ angleDeg: rounded((theta * 180) / Math.PI, 4), s: rounded(s, 4) })) }
}

/** The place moved by some of its own units: px on a photograph, degrees and mm on the map. */
export function nudged(place: Place, right: number, up: number): Place {
  if (place.on === 'photo') return { ...place, u: place.u + right, v: place.v - up }
  return { ...place, theta: place.theta + (right * Math.PI) / 180, s: place.s + up }
}

export function between(one: Place, other: Place): Place {
  if (one.on === 'photo' && other.on === 'photo') return { ...one, u: (one.u + other.u) / 2, v: (one.v + other.v) / 2 }
  if (one.on === 'map' && other.on === 'map') return { ...one, theta: (one.theta + other.theta) / 2, s: (one.s + other.s) / 2 }
  return one
}

/** How far apart two places of one ground are, for choosing the longest stretch of a line: px, or mm on the map. */
export function apart(one: Place, other: Place, radius: number): number {
  if (one.on === 'photo' && other.on === 'photo') return Math.hypot(one.u - other.u, one.v - other.v)
  if (one.on === 'map' && other.on === 'map') return Math.hypot((one.theta - other.theta) * radius, one.s - other.s)
  return 0
}

/** `place` moved as `from` would have to be moved to come to `to`. */
export function shifted(place: Place, from: Place, to: Place): Place {
  if (place.on === 'photo' && from.on === 'photo' && to.on === 'photo')
    return { ...place, u: place.u + to.u - from.u, v: place.v + to.v - from.v }
  if (place.on === 'map' && from.on === 'map' && to.on === 'map')
    return { ...place, theta: place.theta + to.theta - from.theta, s: place.s + to.s - from.s }
  return place
}

/** Places of the map with each angle on the turn nearest to the one before: a line across the seam runs past 360 instead of back. */
export function unwrapped(places: readonly Place[]): Place[] {
  const turn = 2 * Math.PI
  let before: number | null = null
  return places.map((place) => {
    if (place.on !== 'map') return place
    const theta: number = before === null ? place.theta : place.theta + Math.round((before - place.theta) / turn) * turn
    before = theta
    return theta === place.theta ? place : { ...place, theta }
  })
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals))
}

/** The places where a journal is measured: three stations along it, each across two or four angles; and which reading stands where. */
import { surfaceOf } from '@/lib/journal/surface'
import type { Reading, Sizes } from '@/lib/model/cut'
import type { Journal } from '@/lib/model/journal'

export type Station = 'front' | 'middle' | 'rear'
export type Place = { station: Station; angleDeg: number }
export const stations: readonly Station[] = ['front', 'middle', 'rear']
export const twoAngles: readonly number[] = [0, 90]
export const fourAngles: readonly number[] = [0, 45, 90, 135]

/** A share of the cylinder's length that the outer stations keep from the tangent lines (common practice, no source). */
const inset = 0.12

/** Distance of each station from the front cheek, mm, to 0.1. */
export function stationAxial(journal: Journal, station: Station): number {
  const surface = surfaceOf(journal)
  const length = surface.rearTangentZ - surface.frontTangentZ
  const share = { front: inset, middle: 0.5, rear: 1 - inset }[station]
  return Math.round((surface.frontTangentZ + share * length) * 10) / 10
}

/** Readings by place, and those that stand at no place of this grid: another angle, or a second one at the same place. */
export function placedReadings(journal: Journal, readings: readonly Reading[], angles: readonly number[]) {
  const byPlace = new Map<string, Reading>()
  const others: Reading[] = []
  for (const reading of readings) {
    const place = placeOf(journal, reading, angles)
    if (place === null || byPlace.has(placeKey(place))) others.push(reading)
    else byPlace.set(placeKey(place), reading)
  }
  return { byPlace, others }
}

export function placeKey({ station, angleDeg }: Place): string {
  return `${station} ${angleDeg}`
}

/** A diameter across 0 is the one across 180. */
function placeOf(journal: Journal, reading: Reading, angles: readonly number[]): Place | null {
  const across = ((reading.angleDeg % 180) + 180) % 180
  const angleDeg = angles.find((angle) => Math.min(Math.abs(across - angle), 180 - Math.abs(across - angle)) < 0.5)
  if (angleDeg === undefined) return null
  const nearest = [...stations].sort(
    (a, b) => Math.abs(stationAxial(journal, a) - reading.axial) - Math.abs(stationAxial(journal, b) - reading.axial),
  )[0] as Station
  return { station: nearest, angleDeg }
}

/** The readings with the one at a place set anew, where it was typed before; taken out where `diameter` is null. */
export function withReading(
  journal: Journal,
  readings: readonly Reading[],
  angles: readonly number[],
  place: Place,
  diameter: number | null,
): Reading[] {
  const before = placedReadings(journal, readings, angles).byPlace.get(placeKey(place))
  if (diameter === null) return readings.filter((reading) => reading !== before)
  if (before) return readings.map((reading) => (reading === before ? { ...reading, diameter } : reading))
  return [...readings, { axial: stationAxial(journal, place.station), angleDeg: place.angleDeg, diameter }]
}

/** Four angles where any reading needs them, else two. */
export function anglesFor(sizes: readonly Sizes[]): readonly number[] {
  const diagonal = sizes.some((row) => row.readings.some(({ angleDeg }) => Math.abs((((angleDeg % 90) + 90) % 90) - 45) < 0.5))
  return diagonal ? fourAngles : twoAngles
}

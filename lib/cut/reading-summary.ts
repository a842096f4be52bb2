/** What a journal's micrometer readings say together: smallest and largest, out of round, taper. Lengths in mm. */
import type { Reading } from '../model/cut'

export type ReadingSummary = {
  smallest: number
  largest: number
  mean: number
  /** The largest difference between angles at one station; null where no station has two. */
  outOfRound: number | null
  /** The largest difference between the stations' means; null with one station. */
  taper: number | null
}

/** Readings less than this apart along the shaft were taken at one station (common practice, no source). */
const sameStation = 1

/** @returns null without readings. */
export function readingSummary(readings: readonly Reading[]): ReadingSummary | null {
  if (readings.length === 0) return null
  const stations = byStation(readings)
  const spreads = stations.filter((station) => station.length > 1).map((station) => spread(station))
  const diameters = readings.map((reading) => reading.diameter)
  return {
    smallest: Math.min(...diameters),
    largest: Math.max(...diameters),
    mean: mean(diameters),
    outOfRound: spreads.length > 0 ? Math.max(...spreads) : null,
    taper: stations.length > 1 ? spread(stations.map(mean)) : null,
  }
}

function byStation(readings: readonly Reading[]): number[][] {
  const sorted = [...readings].sort((a, b) => a.axial - b.axial)
  const stations: { axial: number; diameters: number[] }[] = []
  for (const { axial, diameter } of sorted) {
    const last = stations.at(-1)
    if (last && axial - last.axial < sameStation) last.diameters.push(diameter)
    else stations.push({ axial, diameters: [diameter] })
  }
  return stations.map((station) => station.diameters)
}

function spread(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values)
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}

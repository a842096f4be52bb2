/** What the tool *Distance* reads: the way on the metal, and its parts around and along. */
import { meanDirection, pathPieces } from '@/lib/journal/map-path'
import type { Units } from '@/lib/model/inspection'
import { formatAngle, formatLength } from '@/lib/model/units'
import type { JournalModel } from './bench-model'
import { convertPlace } from './convert-place'
import type { DistanceState } from './tools/distance-tool'

export function distanceWords({ from, to }: DistanceState, model: JournalModel, units: Units): string {
  const one = from && convertPlace(model, from, { on: 'map' })
  const other = to && convertPlace(model, to, { on: 'map' })
  if (one?.on !== 'map' || other?.on !== 'map') return from && to ? 'not known: this photograph is not fitted' : ''
  const turn = 2 * Math.PI
  const near = { theta: other.theta + Math.round((one.theta - other.theta) / turn) * turn, s: other.s }
  const { length, angle } = meanDirection(pathPieces(model.surface, [one, near]))
  return `${formatLength(length, units)}${angle === null ? '' : `, ${formatAngle(Math.abs((angle * 180) / Math.PI))} to the shaft`}`
}

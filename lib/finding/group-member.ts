/** A line as the groups read it: its path, its direction and its place on the flat map. */
import { meanDirection, type PathPiece, pathPieces } from '../journal/map-path'
import type { MapPoint, Surface } from '../journal/surface'
import { type FlatLine, flatLine } from './flat-line'

export type GroupMember = { id: string; vertices: readonly MapPoint[]; pieces: PathPiece[]; angle: number; length: number; line: FlatLine }

/** A line on the map as a group may hold it; null where it has no direction. */
export function groupMember(surface: Surface, id: string, vertices: readonly MapPoint[]): GroupMember | null {
  const pieces = pathPieces(surface, vertices)
  const { angle, length } = meanDirection(pieces)
  return angle === null ? null : { id, vertices, pieces, angle, length, line: flatLine(surface, vertices) }
}

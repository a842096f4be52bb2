/** Plates with letters and values on a drawing: how large they are, and a place for each that no other one takes. */
import type { ScreenPoint, Size } from './view'

/** About its middle, screen px. */
export type Plate = ScreenPoint & Size

export const letterPlate: Size = { width: 22, height: 22 }

export function valuePlate(text: string): Size {
  return { width: 14 + text.length * 7.9, height: 24 }
}

/** The first of the places, each moved into the frame, where the plate lies on no other; the first of all where there is none. */
export function freePlace(
  { width, height }: Size,
  places: readonly ScreenPoint[],
  frame: ScreenPoint & Size,
  taken: readonly Plate[],
): Plate | null {
  const plates = places.map(({ x, y }) => ({
    x: Math.min(frame.x + frame.width - width / 2 - 1, Math.max(frame.x + width / 2 + 1, x)),
    y: Math.min(frame.y + frame.height - height / 2 - 1, Math.max(frame.y + height / 2 + 1, y)),
    width,
    height,
  }))
  return plates.find((plate) => !taken.some((other) => overlap(plate, other))) ?? plates[0] ?? null
}

function overlap(one: Plate, other: Plate): boolean {
  return Math.abs(one.x - other.x) * 2 < one.width + other.width && Math.abs(one.y - other.y) * 2 < one.height + other.height
}

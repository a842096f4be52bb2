/** Plates with letters and values on a drawing: how large they are, and a place for each that no other one takes. */
import type { ScreenPoint, Size } from './view'

/** About its middle, screen px. */
export type Plate = ScreenPoint & Size

/** A letter, or the whole name that an imported file gave. */
export function letterPlate(letter: string): Size {
  return { width: Math.max(20, 12 + letter.length * 8.6), height: 20 }
}

export function valuePlate(text: string): Size {
  return { width: 14 + text.length * 7.9, height: 24 }
}

/** The first of the places, each moved into the frame, where the plate lies on no other; the first of all where there is none. */
export function freePlace(size: Size, places: readonly ScreenPoint[], frame: ScreenPoint & Size, taken: readonly Plate[]): Plate | null {
  const plates = platesWithin(size, places, frame)
  return plates.find((plate) => isFree(plate, taken)) ?? plates[0] ?? null
}

/** The plate about each of the places, moved into the frame. */
export function platesWithin({ width, height }: Size, places: readonly ScreenPoint[], frame: ScreenPoint & Size): Plate[] {
  return places.map(({ x, y }) => ({
    x: Math.min(frame.x + frame.width - width / 2 - 1, Math.max(frame.x + width / 2 + 1, x)),
    y: Math.min(frame.y + frame.height - height / 2 - 1, Math.max(frame.y + height / 2 + 1, y)),
    width,
    height,
  }))
}

export function isFree(plate: Plate, taken: readonly Plate[]): boolean {
  return !taken.some((other) => overlap(plate, other))
}

function overlap(one: Plate, other: Plate): boolean {
  return Math.abs(one.x - other.x) * 2 < one.width + other.width && Math.abs(one.y - other.y) * 2 < one.height + other.height
}

/** The handles of a photograph one by one: what they are, where they stand, and the set with one added, moved or dropped. */
import type { Handles, Pixel, RingPlace } from '@/lib/model/photo'

/** What a press in the open picture sets a point of. */
export type HandleStep =
  | { part: 'side'; side: 0 | 1 }
  | { part: 'ring'; at: RingPlace }
  | { part: 'hole'; id: string }
  | { part: 'clock'; angleDeg: number; axial: number }

export type HandleRef =
  | { part: 'side'; side: 0 | 1; index: number }
  | { part: 'ring'; ring: number; index: number }
  | { part: 'hole'; id: string }
  | { part: 'clock'; index: number }

/** Where a handle stands; null where there is none. */
export function handlePixel(handles: Handles, ref: HandleRef): Pixel | null {
  switch (ref.part) {
    case 'side':
      return handles.sides[ref.side][ref.index] ?? null
    case 'ring':
      return handles.rings[ref.ring]?.points[ref.index] ?? null
    case 'hole':
      return handles.oilHoles.find((hole) => hole.id === ref.id)?.center ?? null
    case 'clock':
      return handles.clock[ref.index]?.point ?? null
  }
}

/** Every handle, in the order in which a person goes through them. */
export function allHandles(handles: Handles): HandleRef[] {
  return [
    ...handles.sides.flatMap((points, side) => points.map((_, index): HandleRef => ({ part: 'side', side: side as 0 | 1, index }))),
    ...handles.rings.flatMap(({ points }, ring) => points.map((_, index): HandleRef => ({ part: 'ring', ring, index }))),
    ...handles.oilHoles.map(({ id }): HandleRef => ({ part: 'hole', id })),
    ...handles.clock.map((_, index): HandleRef => ({ part: 'clock', index })),
  ]
}

export function sameHandle(one: HandleRef | null, other: HandleRef | null): boolean {
  return JSON.stringify(one) === JSON.stringify(other)
}

export function addHandle(handles: Handles, step: HandleStep, at: Pixel): { handles: Handles; ref: HandleRef } {
  switch (step.part) {
    case 'side': {
      const sides: Handles['sides'] = [handles.sides[0], handles.sides[1]]
      sides[step.side] = [...sides[step.side], at]
      return { handles: { ...handles, sides }, ref: { part: 'side', side: step.side, index: sides[step.side].length - 1 } }
    }
    case 'ring': {
      const ring = handles.rings.findIndex((one) => one.at === step.at)
      if (ring < 0)
        return {
          handles: { ...handles, rings: [...handles.rings, { at: step.at, points: [at] }] },
          ref: { part: 'ring', ring: handles.rings.length, index: 0 },
        }
      const rings = handles.rings.map((one, index) => (index === ring ? { ...one, points: [...one.points, at] } : one))
      return { handles: { ...handles, rings }, ref: { part: 'ring', ring, index: (rings[ring]?.points.length ?? 1) - 1 } }
    }
    case 'hole': {
      const others = handles.oilHoles.filter((hole) => hole.id !== step.id)
      return { handles: { ...handles, oilHoles: [...others, { id: step.id, center: at }] }, ref: { part: 'hole', id: step.id } }
    }
    case 'clock': {
      const clock = [...handles.clock, { angleDeg: step.angleDeg, axial: step.axial, point: at }]
      return { handles: { ...handles, clock }, ref: { part: 'clock', index: clock.length - 1 } }
    }
  }
}

export function moveHandle(handles: Handles, ref: HandleRef, at: Pixel): Handles {
  switch (ref.part) {
    case 'side': {
      const sides: Handles['sides'] = [handles.sides[0], handles.sides[1]]
      sides[ref.side] = sides[ref.side].map((old, index) => (index === ref.index ? at : old))
      return { ...handles, sides }
    }
    case 'ring': {
      const points = (handles.rings[ref.ring]?.points ?? []).map((old, index) => (index === ref.index ? at : old))
      return { ...handles, rings: handles.rings.map((one, index) => (index === ref.ring ? { ...one, points } : one)) }
    }
    case 'hole':
      return { ...handles, oilHoles: handles.oilHoles.map((hole) => (hole.id === ref.id ? { ...hole, center: at } : hole)) }
    case 'clock':
      return { ...handles, clock: handles.clock.map((one, index) => (index === ref.index ? { ...one, point: at } : one)) }
  }
}

export function removeHandle(handles: Handles, ref: HandleRef): Handles {
  switch (ref.part) {
    case 'side': {
      const sides: Handles['sides'] = [handles.sides[0], handles.sides[1]]
      sides[ref.side] = sides[ref.side].filter((_, index) => index !== ref.index)
      return { ...handles, sides }
    }
    case 'ring': {
      const rings = handles.rings.map((one, ring) =>
        ring === ref.ring ? { ...one, points: one.points.filter((_, index) => index !== ref.index) } : one,
      )
      return { ...handles, rings: rings.filter((ring) => ring.points.length > 0) }
    }
    case 'hole':
      return { ...handles, oilHoles: handles.oilHoles.filter((hole) => hole.id !== ref.id) }
    case 'clock':
      return { ...handles, clock: handles.clock.filter((_, index) => index !== ref.index) }
  }
}

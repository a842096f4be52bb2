/** A handle in the words of the bench. */
import type { HandleRef } from './observation'
import { unreachable } from '../model/result'

export function handleName(handle: HandleRef): string {
  switch (handle.kind) {
    case 'side':
      return `${handle.list === 0 ? 'first' : 'second'} side, point ${handle.index + 1}`
    case 'ring':
      return `${ringName(handle.at)}, point ${handle.index + 1}`
    case 'oilHole':
      return `oil hole ${handle.id}`
    case 'clock':
      return `witness mark at ${handle.angleDeg}°`
    default:
      return unreachable(handle)
  }
}

/** Which handle a pick belongs to: its side, its ring, or itself. */
export function handleKey(handle: HandleRef): string {
  if (handle.kind === 'side') return `side ${handle.list}`
  return handle.kind === 'ring' ? `ring ${handle.ring}` : `${handle.kind} ${handle.index}`
}

export function ringName(at: string | number): string {
  if (typeof at === 'number') return `inked line at ${at} mm`
  return (
    { 'front-cheek': 'front cheek ring', 'front-fillet': 'front ring', 'rear-fillet': 'rear ring', 'rear-cheek': 'rear cheek ring' }[at] ??
    at
  )
}

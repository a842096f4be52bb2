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

export function ringName(at: string | number): string {
  if (typeof at === 'number') return `inked line at ${at} mm`
  return (
    { 'front-cheek': 'front cheek ring', 'front-fillet': 'front ring', 'rear-fillet': 'rear ring', 'rear-cheek': 'rear cheek ring' }[at] ??
    at
  )
}

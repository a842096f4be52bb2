'use client'
/**
 * A held point catches what lies beneath it, as long as the hand wants that: Alt held, or a finger resting where it is, lets go of it. Then the point
 * stays where the hand puts it.
 */
import { useEffect, useRef, useState } from 'react'
import type { ScreenPoint } from '@/components/map/view'

/** A finger at rest for so long lets the point go. */
const restMs = 700
/** Screen px within which something is caught, and what a mouse and a finger count as on a point. */
const catchScreenPx = 9
const pointerReachPx = { mouse: 8, touch: 30 }

/** In content coordinates; the word says what it is. */
export type Caught = { at: ScreenPoint; word: string } | null

export type SnapGesture = {
  /** What the last place caught: shown in the loupe. */
  caught: Caught
  /** `reach`: how far around a pointer counts as on a point, content units. */
  begin: (reach: number, byTouch: boolean) => void
  /** The place that counts for a pointer's. `again` is called where a resting finger lets the point go. */
  place: (at: ScreenPoint, find: ((reach: number) => Caught) | null, again: (at: ScreenPoint) => void) => ScreenPoint
  end: () => void
}

export function useSnapGesture(): SnapGesture {
  const [caught, setCaught] = useState<Caught>(null)
  const altHeld = useAltHeld()
  const gesture = useRef({ reach: 0, byTouch: false, letGo: false, last: { x: 0, y: 0 }, rest: 0 })
  useEffect(() => () => window.clearTimeout(gesture.current.rest), [])

  const begin = (reach: number, byTouch: boolean) => {
    window.clearTimeout(gesture.current.rest)
    gesture.current = {
      reach: Math.min(reach, (reach * catchScreenPx) / pointerReachPx[byTouch ? 'touch' : 'mouse']),
      byTouch,
      letGo: false,
      last: { x: -1e9, y: -1e9 },
      rest: 0,
    }
  }
  const place: SnapGesture['place'] = (at, find, again) => {
    const now = gesture.current
    if (now.byTouch && Math.hypot(at.x - now.last.x, at.y - now.last.y) > now.reach / 6) {
      now.last = at
      window.clearTimeout(now.rest)
      now.rest = window.setTimeout(() => {
        now.letGo = true
        setCaught(null)
        again(at)
      }, restMs)
    }
    const found = find && !now.letGo && !altHeld.current ? find(now.reach) : null
    setCaught(found)
    return found?.at ?? at
  }
  const end = () => {
    window.clearTimeout(gesture.current.rest)
    setCaught(null)
  }
  return { caught, begin, place, end }
}

function useAltHeld() {
  const held = useRef(false)
  useEffect(() => {
    const change = (event: KeyboardEvent) => {
      if (event.key === 'Alt') held.current = event.type === 'keydown'
    }
    const forget = () => {
      held.current = false
    }
    window.addEventListener('keydown', change)
    window.addEventListener('keyup', change)
    window.addEventListener('blur', forget)
    return () => {
      window.removeEventListener('keydown', change)
      window.removeEventListener('keyup', change)
      window.removeEventListener('blur', forget)
    }
  }, [])
  return held
}

'use client'
/**
 * Pointers on a picture. A mouse presses, drags and hovers; wheel, middle button or space move the picture. One finger draws by the scriber:
 * the pad lies under the thumb, the needle reaches the point. Two fingers move the picture and let go of what one of them held.
 */
import { type PointerEvent as ReactPointerEvent, type RefObject, useEffect, useMemo, useRef, useState } from 'react'
import { panned, pinched, type ScreenPoint, type Size, toContent, type View, zoomAt } from './view'

/** What the picture is told, in content coordinates; `reach` is how far around a pointer counts as on it. */
export type PointerTarget = {
  /** Is there something to take hold of? */
  canGrab: (at: ScreenPoint, reach: number) => ScreenPoint | null
  press: (at: ScreenPoint, reach: number, byTouch: boolean) => void
  move: (at: ScreenPoint) => void
  release: () => void
  /** The gesture became another one: what was held goes back. */
  cancel: () => void
  hover: (at: ScreenPoint | null) => void
}

export type Scriber = { pad: ScreenPoint; tip: ScreenPoint; byTouch: boolean }

const mouseReachPx = 8
const touchReachPx = 30

export function usePicturePointers(
  wrapper: RefObject<HTMLDivElement | null>,
  view: View,
  content: Size,
  frame: Size,
  onView: (view: View) => void,
  target: PointerTarget,
) {
  const [scriber, setScriber] = useState<Scriber | null>(null)
  const latest = useRef({ view, content, frame, onView, target })
  latest.current = { view, content, frame, onView, target }
  const spaceHeld = useSpaceHeld()

  const handlers = useMemo(() => {
    const down = new Map<number, ScreenPoint>()
    let gesture:
      | { kind: 'draw'; id: number; offset: ScreenPoint; byTouch: boolean }
      | { kind: 'pan'; id: number }
      | { kind: 'pinch' }
      | null = null
    let queued: (() => void) | null = null
    const inFrame = (work: () => void) => {
      if (!queued)
        requestAnimationFrame(() => {
          const run = queued
          queued = null
          run?.()
        })
      queued = work
    }
    const flush = () => {
      const run = queued
      queued = null
      run?.()
    }
    const placeOf = (event: { clientX: number; clientY: number }): ScreenPoint => {
      const box = wrapper.current?.getBoundingClientRect()
      return { x: event.clientX - (box?.left ?? 0), y: event.clientY - (box?.top ?? 0) }
    }
    const content = (at: ScreenPoint) => toContent(latest.current.view, at)

    const pinch = (before: Map<number, ScreenPoint>) => {
      const ids = [...down.keys()].slice(0, 2)
      const [a, b] = ids.map((id) => before.get(id))
      const [c, d] = ids.map((id) => down.get(id))
      const now = latest.current
      if (a && b && c && d) now.onView(pinched(now.view, [a, b], [c, d], now.content, now.frame))
    }
    const endDraw = (give: 'release' | 'cancel') => {
      flush()
      latest.current.target[give]()
      setScriber(null)
    }

    const begin = (event: ReactPointerEvent<HTMLDivElement>) => {
      const at = placeOf(event)
      down.set(event.pointerId, at)
      wrapper.current?.setPointerCapture(event.pointerId)
      const byTouch = event.pointerType === 'touch'
      if (byTouch && down.size >= 2) {
        if (gesture?.kind === 'draw') endDraw('cancel')
        gesture = { kind: 'pinch' }
        return
      }
      if (event.button === 1 || (event.button === 0 && spaceHeld.current)) {
        event.preventDefault()
        gesture = { kind: 'pan', id: event.pointerId }
        return
      }
      if (event.button !== 0) return
      const { view, frame, target } = latest.current
      const reach = (byTouch ? touchReachPx : mouseReachPx) / view.scale
      const offset = byTouch ? needleFor(at, frame, target.canGrab(content(at), reach), view) : { x: 0, y: 0 }
      const tip = { x: at.x + offset.x, y: at.y + offset.y }
      gesture = { kind: 'draw', id: event.pointerId, offset, byTouch }
      target.press(content(tip), reach, byTouch)
      setScriber({ pad: at, tip, byTouch })
    }
    const move = (event: ReactPointerEvent<HTMLDivElement>) => {
      const at = placeOf(event)
      const before = new Map(down)
      if (down.has(event.pointerId)) down.set(event.pointerId, at)
      const now = latest.current
      if (gesture?.kind === 'pinch') return pinch(before)
      if (gesture?.kind === 'pan') {
        const from = before.get(event.pointerId)
        if (from) now.onView(panned(now.view, at.x - from.x, at.y - from.y, now.content, now.frame))
        return
      }
      if (gesture?.kind === 'draw' && gesture.id === event.pointerId) {
        const { offset, byTouch } = gesture
        const tip = { x: at.x + offset.x, y: at.y + offset.y }
        inFrame(() => {
          latest.current.target.move(content(tip))
          setScriber({ pad: at, tip, byTouch })
        })
        return
      }
      if (event.pointerType !== 'touch' && down.size === 0) now.target.hover(content(at))
    }
    const end = (event: ReactPointerEvent<HTMLDivElement>) => {
      down.delete(event.pointerId)
      if (gesture?.kind === 'draw' && gesture.id === event.pointerId) {
        endDraw(event.type === 'pointercancel' ? 'cancel' : 'release')
        gesture = null
      } else if (gesture?.kind === 'pan') gesture = null
      else if (gesture?.kind === 'pinch' && down.size === 0) gesture = null
    }
    return {
      onPointerDown: begin,
      onPointerMove: move,
      onPointerUp: end,
      onPointerCancel: end,
      onPointerLeave: () => latest.current.target.hover(null),
      onContextMenu: (event: { preventDefault: () => void }) => event.preventDefault(),
    }
  }, [wrapper, spaceHeld])

  useEffect(() => {
    const element = wrapper.current
    if (!element) return
    const wheel = (event: WheelEvent) => {
      event.preventDefault()
      const now = latest.current
      const box = element.getBoundingClientRect()
      const at = { x: event.clientX - box.left, y: event.clientY - box.top }
      now.onView(zoomAt(now.view, at, 1.0016 ** -event.deltaY, now.content, now.frame))
    }
    // a drag that ends in motion would be taken for the start of scrolling, and the next tap, on a button, for what stops that: it would press nothing
    const noScrolling = (event: TouchEvent) => event.preventDefault()
    element.addEventListener('wheel', wheel, { passive: false })
    element.addEventListener('touchstart', noScrolling, { passive: false })
    return () => {
      element.removeEventListener('wheel', wheel)
      element.removeEventListener('touchstart', noScrolling)
    }
  }, [wrapper])

  return { handlers, scriber }
}

/** From the pad to the needle's point: up and towards the middle; where something is taken hold of, no jump. */
export function needleFor(at: ScreenPoint, frame: Size, grabbed: ScreenPoint | null, view: View): ScreenPoint {
  if (grabbed) return { x: grabbed.x * view.scale + view.x - at.x, y: grabbed.y * view.scale + view.y - at.y }
  const aside = at.x > frame.width / 2 ? -1 : 1
  return at.y > 96 ? { x: aside * 40, y: -82 } : { x: aside * 92, y: 0 }
}

function useSpaceHeld() {
  const held = useRef(false)
  useEffect(() => {
    const change = (event: KeyboardEvent) => {
      if (event.code === 'Space') held.current = event.type === 'keydown'
    }
    window.addEventListener('keydown', change)
    window.addEventListener('keyup', change)
    return () => {
      window.removeEventListener('keydown', change)
      window.removeEventListener('keyup', change)
    }
  }, [])
  return held
}

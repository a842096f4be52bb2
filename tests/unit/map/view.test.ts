import { describe, expect, it } from 'vitest'
import { mapSheet, offSheet, onSheet, turnsToDraw } from '@/components/map/map-sheet'
import { panned, pinched, toContent, toScreen, wholeView, zoomAt } from '@/components/map/view'
import { surfaceOf } from '@/lib/journal/surface'
import { pin } from '../editor/bench-fixture'

const content = { width: 200, height: 40 }
const frame = { width: 1000, height: 400 }

describe('the view of a picture', () => {
  it('a place comes back from the screen where it was', () => {
    const view = { scale: 3.5, x: -20, y: 17 }
    const back = toContent(view, toScreen(view, { x: 12, y: 34 }))
    expect(back.x).toBeCloseTo(12, 12)
    expect(back.y).toBeCloseTo(34, 12)
  })

  it('the whole picture lies in the middle', () => {
    expect(wholeView(content, frame)).toEqual({ scale: 5, x: 0, y: 100 })
  })

  it('what is under the pointer stays there when one goes nearer', () => {
    const at = { x: 500, y: 200 }
    const view = wholeView(content, frame)
    const near = zoomAt(view, at, 4, content, frame)
    expect(toContent(near, at)).toEqual(toContent(view, at))
    expect(near.scale).toBe(20)
  })

  it('never further than the whole, and never a gap at the edge', () => {
    const view = wholeView(content, frame)
    expect(zoomAt(view, { x: 0, y: 0 }, 0.1, content, frame)).toEqual(view)
    const near = zoomAt(view, { x: 500, y: 200 }, 4, content, frame)
    expect(panned(near, 1e6, 0, content, frame).x).toBe(0)
    expect(panned(near, -1e6, 0, content, frame).x).toBe(1000 - 200 * 20)
  })

  it('two fingers that draw apart bring it nearer about their middle', () => {
    const view = wholeView(content, frame)
    const near = pinched(
      view,
      [
        { x: 400, y: 200 },
        { x: 600, y: 200 },
      ],
      [
        { x: 300, y: 200 },
        { x: 700, y: 200 },
      ],
      content,
      frame,
    )
    expect(near.scale).toBe(view.scale * 2)
  })
})

describe('the map on its sheet', () => {
  const surface = surfaceOf(pin)

  it('rear up and angle to the right', () => {
    const sheet = mapSheet(surface, 'rear-up')
    const low = onSheet(sheet, { theta: 1, s: 5 })
    const high = onSheet(sheet, { theta: 1.5, s: 10 })
    expect(high.x).toBeGreaterThan(low.x)
    expect(high.y).toBeLessThan(low.y)
  })

  it('turned a quarter: front left, angle downward, and not mirrored', () => {
    // a right-hand helix leans like / with the rear up; turned a quarter clockwise it falls to the right
    const sheet = mapSheet(surface, 'front-left')
    const from = onSheet(sheet, { theta: 1, s: 5 })
    const to = onSheet(sheet, { theta: 1.5, s: 10 })
    expect(to.x).toBeGreaterThan(from.x)
    expect(to.y).toBeGreaterThan(from.y)
    // a quarter turn keeps the sense of rotation: the cross product of two steps has the same sign in both lays
    const cross = (lay: 'rear-up' | 'front-left') => {
      const [o, a, b] = [
        { theta: 1, s: 5 },
        { theta: 1.2, s: 5 },
        { theta: 1, s: 8 },
      ].map((point) => onSheet(mapSheet(surface, lay), point)) as [
        { x: number; y: number },
        { x: number; y: number },
        { x: number; y: number },
      ]
      return (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
    }
    expect(Math.sign(cross('rear-up'))).toBe(Math.sign(cross('front-left')))
  })

  it('a millimetre is as long across as along', () => {
    const sheet = mapSheet(surface, 'rear-up')
    const o = onSheet(sheet, { theta: 0, s: 5 })
    expect(onSheet(sheet, { theta: 1 / surface.radius, s: 5 }).x - o.x).toBeCloseTo(1, 12)
    expect(o.y - onSheet(sheet, { theta: 0, s: 6 }).y).toBeCloseTo(1, 12)
  })

  it('comes back from the sheet, and stays between the cheeks', () => {
    for (const lay of ['rear-up', 'front-left'] as const) {
      const sheet = mapSheet(surface, lay)
      const back = offSheet(sheet, onSheet(sheet, { theta: 2, s: 7 }))
      expect(back.theta).toBeCloseTo(2, 12)
      expect(back.s).toBeCloseTo(7, 12)
      expect(offSheet(sheet, { x: -50, y: -50 }).s).toBeGreaterThanOrEqual(0)
    }
  })

  it('a line that runs past 360 is drawn on both sides of the seam', () => {
    const degrees = (deg: number) => ({ theta: (deg * Math.PI) / 180, s: 5 })
    expect(turnsToDraw([degrees(10), degrees(50)])).toEqual([0])
    expect(turnsToDraw([degrees(350), degrees(370)])).toEqual([0, -1])
    expect(turnsToDraw([degrees(-20), degrees(10)])).toEqual([1, 0])
    expect(turnsToDraw([degrees(730), degrees(740)])).toEqual([-2])
  })
})

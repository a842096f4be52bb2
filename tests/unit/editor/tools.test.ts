import { describe, expect, it } from 'vitest'
import { applyEdits, type Edit } from '@/components/editor/document'
import { type DistanceState, noDistance, stepDistance } from '@/components/editor/tools/distance-tool'
import { stepDraw } from '@/components/editor/tools/draw-tool'
import { noHandle, stepHandles } from '@/components/editor/tools/handles-tool'
import { stepLeaveOut } from '@/components/editor/tools/leave-out-tool'
import { noOutline, type Outline } from '@/components/editor/tools/outline'
import type { Place } from '@/components/editor/tools/place'
import { nothingChosen, type ShiftState, stepShift } from '@/components/editor/tools/shift-tool'
import type { ToolContext, ToolEvent } from '@/components/editor/tools/tool'
import { surfaceOf } from '@/lib/journal/surface'
import type { Mark } from '@/lib/model/mark'
import { benchDocument, mark, photo, pin } from './bench-fixture'

const surface = surfaceOf(pin)

function context(marks: Mark[] = []): ToolContext {
  return {
    document: benchDocument(marks),
    journalId: 'P1',
    surface,
    newRowId: () => 'new-row',
    convert: (place, ground) => (place.on === ground.on ? place : null),
  }
}

const onMap = (theta: number, s: number): Place => ({ on: 'map', theta, s })
const onPhoto = (u: number, v: number): Place => ({ on: 'photo', photoId: 'ph1', u, v })
const press = (at: Place, vertex: number | null = null, markRow: string | null = null): ToolEvent => ({
  type: 'press',
  at,
  vertex,
  markRow,
})
const move = (at: Place): ToolEvent => ({ type: 'move', at })
const release: ToolEvent = { type: 'release' }

function draw(events: ToolEvent[], shape: 'line' | 'area' = 'line', from: Outline = noOutline, at = context()) {
  return events.reduce<{ state: Outline; edits: readonly Edit[] }>(
    (step, event) => {
      const next = stepDraw(step.state, event, at, shape)
      return { state: next.state, edits: [...step.edits, ...next.edits] }
    },
    { state: from, edits: [] },
  )
}

describe('Mark', () => {
  it('two points on the map and Keep make one line named after its journal', () => {
    const { state, edits } = draw([press(onMap(1, 10)), release, press(onMap(1.2, 14)), release, { type: 'keep' }])
    expect(state).toEqual(noOutline)
    const marks = applyEdits(benchDocument(), edits).marks
    expect(marks).toHaveLength(1)
    expect(marks[0]?.value).toMatchObject({
      id: 'P1-a',
      journalId: 'P1',
      shape: 'line',
      points: [
        { angleDeg: 57.2958, s: 10 },
        { angleDeg: 68.7549, s: 14 },
      ],
    })
  })

  it('points on a photograph are kept as its pixels', () => {
    const { edits } = draw([press(onPhoto(100.123, 200)), release, press(onPhoto(300, 400)), release, { type: 'keep' }])
    expect(edits[0]?.after).toMatchObject({
      photoId: 'ph1',
      pixels: [
        [100.12, 200],
        [300, 400],
      ],
    })
  })

  it('takes the next free letter', () => {
    const at = context([mark('P1-a'), mark('P1-c')])
    const { edits } = draw([press(onMap(1, 10)), release, press(onMap(1.2, 14)), release, { type: 'keep' }], 'line', noOutline, at)
    expect(edits[0]?.after).toMatchObject({ id: 'P1-b' })
  })

  it('is not kept with one point only', () => {
    const { state, edits } = draw([press(onMap(1, 10)), release, { type: 'keep' }])
    expect(edits).toEqual([])
    expect(state.points).toHaveLength(1)
  })

  it('a point follows the pointer until it is let go', () => {
    const { state } = draw([press(onMap(1, 10)), move(onMap(1.1, 11)), release, move(onMap(2, 20))])
    expect(state.points).toEqual([onMap(1.1, 11)])
  })

  it('Escape puts the point in the hand back where it was', () => {
    const set = draw([press(onMap(1, 10)), release, press(onMap(2, 12)), release]).state
    const { state } = draw([press(onMap(1, 10), 0), move(onMap(1.5, 15)), { type: 'give-up' }], 'line', set)
    expect(state.points).toEqual([onMap(1, 10), onMap(2, 12)])
  })

  it('Escape with empty hands gives the whole draft up', () => {
    expect(draw([press(onMap(1, 10)), release, { type: 'give-up' }]).state).toEqual(noOutline)
  })

  it('Bend adds a point in the middle of the longest stretch, Drop point takes the chosen one away', () => {
    const set = draw([press(onMap(1, 10)), release, press(onMap(1, 12)), release, press(onMap(1, 20)), release]).state
    const bent = draw([{ type: 'bend' }], 'line', set).state
    expect(bent.points[2]).toEqual(onMap(1, 16))
    expect(draw([{ type: 'drop-point' }], 'line', bent).state.points).toEqual(set.points)
  })

  it('a draft begun on the photograph does not take a place that cannot be seen in it', () => {
    expect(draw([press(onPhoto(1, 2)), release, press(onMap(1, 10))]).state.points).toEqual([onPhoto(1, 2)])
  })

  it('a line across the seam runs past 360 instead of back', () => {
    const { edits } = draw([press(onMap(6.2, 10)), release, press(onMap(0.1, 12)), release, { type: 'keep' }])
    expect(edits[0]?.after).toMatchObject({ points: [{ angleDeg: 355.2338 }, { angleDeg: 365.7296 }] })
  })

  it('arrows move the chosen point', () => {
    const { state } = draw([press(onMap(1, 10)), release, { type: 'nudge', right: 0, up: 0.1 }])
    expect(state.points[0]).toEqual(onMap(1, 10.1))
  })
})

describe('Patch', () => {
  it('needs three points', () => {
    const two = [press(onMap(1, 10)), release, press(onMap(1.2, 14)), release]
    expect(draw([...two, { type: 'keep' }], 'area').edits).toEqual([])
    const { edits } = draw([...two, press(onMap(1.2, 10)), release, { type: 'keep' }], 'area')
    expect(edits[0]?.after).toMatchObject({ shape: 'area' })
  })
})

describe('Shift', () => {
  const a = mark('P1-a', 100)
  const at = context([a])
  const chosen: ShiftState = { ...nothingChosen, markRow: 'row-P1-a' }
  const run = (events: ToolEvent[], from = chosen) =>
    events.reduce<{ state: ShiftState; edits: readonly Edit[] }>(
      (step, event) => {
        const next = stepShift(step.state, event, at)
        return { state: next.state, edits: [...step.edits, ...next.edits] }
      },
      { state: from, edits: [] },
    )

  it('a press on a mark chooses it, a press beside it lets it be', () => {
    expect(run([press(onMap(1, 1), null, 'row-P1-a'), release], nothingChosen).state.markRow).toBe('row-P1-a')
    expect(run([press(onMap(1, 1))]).state).toEqual(nothingChosen)
  })

  it('a point dragged is one edit, made when it is let go', () => {
    const { edits } = run([press(onMap(1.7, 16), 0), move(onMap(1.8, 17)), move(onMap(1.9, 18)), release])
    expect(edits).toHaveLength(1)
    expect(edits[0]?.after).toMatchObject({ points: [{ angleDeg: 108.862, s: 18 }, {}] })
  })

  it('Escape in the middle of a drag leaves the mark alone', () => {
    const { state, edits } = run([press(onMap(1.7, 16), 0), move(onMap(1.9, 18)), { type: 'give-up' }, release])
    expect(edits).toEqual([])
    expect(state.draft).toBeNull()
  })

  it('the whole mark moves together', () => {
    const { edits } = run([press(onMap(1, 10), null, 'row-P1-a'), move(onMap(1, 12)), release], nothingChosen)
    const [before, after] = [a.points ?? [], (edits[0]?.after as Mark | undefined)?.points ?? []]
    expect(after.map((point) => point.angleDeg)).toEqual(before.map((point) => point.angleDeg))
    const places = after.map((point) => ('s' in point ? point.s : Number.NaN))
    expect((places[1] ?? 0) - (places[0] ?? 0)).toBeCloseTo(5, 6)
  })

  it('a line keeps its last two points', () => {
    expect(run([{ type: 'drop-point' }]).edits).toEqual([])
  })

  it('Del removes the mark where no point of it is chosen', () => {
    expect(run([{ type: 'remove' }]).edits).toEqual([{ kind: 'mark', id: 'row-P1-a', before: a, after: null }])
  })
})

describe('Leave out', () => {
  it('three corners on the photograph and Keep leave that part out', () => {
    const corners = [onPhoto(0, 0), onPhoto(100, 0), onPhoto(100, 80)]
    let state = noOutline
    for (const corner of corners)
      state = stepLeaveOut(stepLeaveOut(state, press(corner), context(), 'photo-row').state, release, context(), 'photo-row').state
    const { edits } = stepLeaveOut(state, { type: 'keep' }, context(), 'photo-row')
    expect(edits[0]?.after).toMatchObject({
      ignore: [
        [
          [0, 0],
          [100, 0],
          [100, 80],
        ],
      ],
    })
  })
})

describe('Distance', () => {
  it('the third press begins anew and nothing is written down', () => {
    const events = [press(onMap(1, 10)), release, press(onMap(1, 12)), release]
    const state = events.reduce<DistanceState>((current, event) => stepDistance(current, event, context()).state, noDistance)
    expect(state).toEqual({ from: onMap(1, 10), to: onMap(1, 12), held: null })
    expect(stepDistance(state, press(onMap(2, 2)), context()).state).toEqual({ from: onMap(2, 2), to: null, held: 'from' })
  })
})

describe('handles', () => {
  const row = { id: 'photo-row', value: photo }
  const side = { part: 'side', side: 0 } as const

  it('a press sets a point of the step, written down when it is let go', () => {
    const pressed = stepHandles(noHandle, { type: 'press', at: [10, 20], handle: null }, row, side)
    expect(pressed.edits).toEqual([])
    const moved = stepHandles(pressed.state, { type: 'move', at: [12, 24] }, row, side)
    const { edits } = stepHandles(moved.state, { type: 'release' }, row, side)
    expect(edits).toHaveLength(1)
    expect(edits[0]?.after).toMatchObject({ handles: { sides: [[[12, 24]], []] } })
  })

  it('a handle dragged off the photograph is held at its edge, and that is told', () => {
    const pressed = stepHandles(noHandle, { type: 'press', at: [10, 20], handle: null }, row, side)
    const { state } = stepHandles(pressed.state, { type: 'move', at: [-50, 5000] }, row, side)
    expect(state.draft?.sides[0]).toEqual([[0, 1500]])
    expect(state.atEdge).toBe(true)
  })

  it('Escape in the middle of a drag brings the handle back', () => {
    const set = { id: 'photo-row', value: { ...photo, handles: { ...photo.handles, sides: [[[10, 20]], []] as [[number, number][], []] } } }
    const held = stepHandles(noHandle, { type: 'press', at: [10, 20], handle: { part: 'side', side: 0, index: 0 } }, set, side).state
    const dragged = stepHandles(held, { type: 'move', at: [90, 90] }, set, side).state
    const { state, edits } = stepHandles(dragged, { type: 'give-up' }, set, side)
    expect(state.draft).toBeNull()
    expect(edits).toEqual([])
  })

  it('an oil hole has one point: a second press moves it', () => {
    const hole = { part: 'hole', id: 'h1' } as const
    const first = stepHandles(noHandle, { type: 'press', at: [1, 1], handle: null }, row, hole)
    const after = stepHandles(first.state, { type: 'release' }, row, hole).edits[0]?.after as typeof photo
    const again = stepHandles(noHandle, { type: 'press', at: [5, 5], handle: null }, { id: 'photo-row', value: after }, hole)
    expect(again.state.draft?.oilHoles).toEqual([{ id: 'h1', center: [5, 5] }])
  })

  it('a ring whose last point is dropped is gone', () => {
    const ring = { part: 'ring', at: 'rear-fillet' } as const
    const first = stepHandles(noHandle, { type: 'press', at: [1, 1], handle: null }, row, ring)
    const placed = stepHandles(first.state, { type: 'release' }, row, ring)
    const value = placed.edits[0]?.after as typeof photo
    const { edits } = stepHandles(placed.state, { type: 'remove' }, { id: 'photo-row', value }, ring)
    expect(edits[0]?.after).toMatchObject({ handles: { rings: [] } })
  })
})

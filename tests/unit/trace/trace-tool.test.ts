/** The tool Trace: taps, what was followed between them, and the mark that is kept. */
import { describe, expect, it } from 'vitest'
import type { MapPlace } from '../../../components/editor/tools/place'
import type { ToolContext, ToolEvent } from '../../../components/editor/tools/tool'
import { noTrace, stepTrace, stepTraced, type TraceState, traceVertices, vertexOfTap } from '../../../components/editor/tools/trace-tool'
import { surfaceOf } from '../../../lib/journal/surface'
import { journalSchema } from '../../../lib/model/journal'

const journal = journalSchema.parse({
  id: 'P1',
  kind: 'pin',
  diameter: 40,
  width: 30,
  fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
})
const context: ToolContext = {
  document: { shaft: { id: 'S', label: '' }, journals: [], photos: [], marks: [], files: {} } as unknown as ToolContext['document'],
  journalId: 'P1',
  surface: surfaceOf(journal),
  newRowId: () => 'row-1',
  convert: () => null,
}
const place = (theta: number, s: number): MapPlace => ({ on: 'map', theta, s })
const stepped = (state: TraceState, ...events: ToolEvent[]): TraceState =>
  events.reduce((current, event) => stepTrace(current, event, context).state, state)
const tap = (theta: number, s: number, vertex: number | null = null): ToolEvent[] => [
  { type: 'press', at: place(theta, s), vertex, markRow: null },
  { type: 'release' },
]
/** Every way that is not followed yet becomes its two taps with one place between them, 0.1 mm to the rear. */
const followed = (state: TraceState): TraceState =>
  state.ways.reduce((current, way, leg) => {
    if (way.points) return current
    const [a, b] = [current.taps[leg], current.taps[leg + 1]]
    return stepTraced(current, way.number, [a, place((a.theta + b.theta) / 2, (a.s + b.s) / 2 + 0.1), b])
  }, state)

describe('the tool Trace', () => {
  it('makes a way between two taps, and a mark of both when it is kept', () => {
    const state = followed(stepped(noTrace, ...tap(1, 10), ...tap(1.5, 12)))
    expect(traceVertices(state).map(({ s }) => s)).toEqual([10, 11.1, 12])
    const { edits, state: left } = stepTrace(state, { type: 'keep' }, context)
    expect(edits).toHaveLength(1)
    expect(edits[0].after).toMatchObject({ journalId: 'P1', shape: 'line', points: [{ s: 10 }, { s: 11.1 }, { s: 12 }] })
    expect(left.taps).toEqual([])
  })

  it('goes on from the nearer end where a tap lies beyond it', () => {
    const line = followed(stepped(noTrace, ...tap(1, 10), ...tap(1.5, 10)))
    expect(stepped(line, ...tap(1.8, 10)).taps.map(({ theta }) => theta)).toEqual([1, 1.5, 1.8])
    expect(stepped(line, ...tap(0.8, 10)).taps.map(({ theta }) => theta)).toEqual([0.8, 1, 1.5])
  })

  it('is pulled over by a third tap beside it, and both halves are followed anew', () => {
    const line = followed(stepped(noTrace, ...tap(1, 10), ...tap(1.5, 10)))
    const pulled = stepped(line, ...tap(1.25, 11.5))
    expect(pulled.taps.map(({ theta }) => theta)).toEqual([1, 1.25, 1.5])
    expect(pulled.ways.map(({ points }) => points)).toEqual([null, null])
  })

  it('is taken hold of between two taps', () => {
    const line = followed(stepped(noTrace, ...tap(1, 10), ...tap(1.5, 10)))
    const held = stepped(line, { type: 'press', at: place(1.25, 10), vertex: 1, markRow: null }, { type: 'move', at: place(1.25, 9) })
    expect(held.taps[1]).toEqual(place(1.25, 9))
    expect(vertexOfTap(held, 1)).toBe(1)
  })

  it('does not take in what was followed for ends that have moved since', () => {
    const line = stepped(noTrace, ...tap(1, 10), ...tap(1.5, 10))
    const stale = line.ways[0].number
    const moved = stepped(line, { type: 'nudge', right: 0, up: 1 })
    expect(stepTraced(moved, stale, [place(1, 10), place(1.2, 10.4), place(1.5, 10)])).toBe(moved)
    expect(moved.ways[0].snap).toBe(false)
  })

  it('keeps to one turn across the seam', () => {
    const line = stepped(noTrace, ...tap(6.2, 10), ...tap(0.1, 10))
    expect(line.taps[1].theta).toBeCloseTo(0.1 + 2 * Math.PI, 9)
  })

  it('drops the chosen tap and joins its neighbours', () => {
    const line = followed(stepped(noTrace, ...tap(1, 10), ...tap(1.5, 10), ...tap(2, 10)))
    const dropped = stepped(line, { type: 'choose-vertex', vertex: vertexOfTap(line, 1) }, { type: 'drop-point' })
    expect(dropped.taps.map(({ theta }) => theta)).toEqual([1, 2])
    expect(dropped.ways).toHaveLength(1)
  })

  it('is begun and led on by keys alone', () => {
    const line = stepped(noTrace, { type: 'bend' }, { type: 'nudge', right: 10, up: 2 }, { type: 'bend' })
    expect(line.taps).toHaveLength(2)
    expect(line.taps[1].theta - line.taps[0].theta).toBeCloseTo(4 / 20, 9)
  })
})

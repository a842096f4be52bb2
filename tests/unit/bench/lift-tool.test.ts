import { describe, expect, it } from 'vitest'
import {
  type LiftTool,
  type LiftToolEvent,
  type LiftWork,
  nearestLiftPoint,
  noPoint,
  stepLiftTool,
} from '../../../components/lift/lift-tool'
import { liftFailureSentence, liftFitSentence, liftMarkFailureSentence, liftSteps } from '../../../components/lift/lift-words'
import { liftSchema } from '../../../lib/model/lift'
import { fitLift } from '../../../lib/photo/flat-lift'
import { liftCase } from '../../fixtures/simulated/flat-lifts'

const bare = liftSchema.parse({ id: 'l1', journalId: 'P1', file: 'a.jpg', width: 1000, height: 800 })

/** Runs the events from a state on; `written`: how often something was to be saved. */
function played(work: LiftWork, list: Parameters<typeof stepLiftTool>[3], events: readonly LiftToolEvent[], from: LiftTool = noPoint) {
  let tool = from
  let now = work
  let written = 0
  for (const event of events) {
    const next = stepLiftTool(tool, event, now, list)
    tool = next.tool
    if (next.kept) {
      now = next.kept
      written += 1
    }
  }
  return { tool, work: now, written }
}

describe('points on a lift', () => {
  it('a press sets one, a drag moves it, letting go saves it once, inside the picture', () => {
    const { work, written, tool } = played({ lift: bare, outline: [] }, 'front', [
      { type: 'press', at: [10, 20], near: null },
      { type: 'move', at: [40, 30] },
      { type: 'move', at: [-5, 900] },
      { type: 'release' },
    ])
    expect(work.lift.front.pixels).toEqual([[0, 800]])
    expect(written).toBe(1)
    expect(tool.chosen).toEqual({ list: 'front', index: 0 })
  })

  it('Escape in the middle of a drag leaves everything as it was', () => {
    const lift = { ...bare, rear: { ...bare.rear, pixels: [[5, 5] as [number, number]] } }
    const { work, written } = played({ lift, outline: [] }, 'rear', [
      { type: 'press', at: [5, 5], near: { list: 'rear', index: 0 } },
      { type: 'move', at: [90, 90] },
      { type: 'give-up' },
      { type: 'release' },
    ])
    expect(work.lift).toEqual(lift)
    expect(written).toBe(0)
  })

  it('dropping a known point keeps the typed places with their own points', () => {
    const scalePoints = [0, 1, 2, 3].map((i) => ({ pixel: [10 * i, 0] as [number, number], xMm: i, yMm: 100 + i }))
    const { work } = played({ lift: { ...bare, scalePoints }, outline: [] }, 'scale', [
      { type: 'choose', point: { list: 'scale', index: 1 } },
      { type: 'remove' },
    ])
    expect(work.lift.scalePoints).toEqual([0, 2, 3].map((i) => scalePoints[i]))
    const { work: more } = played(work, 'scale', [{ type: 'press', at: [7, 7], near: null }, { type: 'release' }])
    expect(more.lift.scalePoints.at(-1)).toEqual({ pixel: [7, 7], xMm: null, yMm: null })
  })

  it('what is drawn stands beside the lift and is not saved with it', () => {
    const { work } = played({ lift: bare, outline: [] }, 'mark', [{ type: 'press', at: [7, 7], near: null }, { type: 'release' }])
    expect(work.outline).toEqual([[7, 7]])
    expect(work.lift).toBe(bare)
    expect(nearestLiftPoint(work, [9, 8], 5)).toEqual({ list: 'mark', index: 0 })
    expect(nearestLiftPoint(work, [90, 8], 5)).toBeNull()
    const { work: moved } = played(work, 'mark', [{ type: 'nudge', right: 2, down: -1 }], {
      ...noPoint,
      chosen: { list: 'mark', index: 0 },
    })
    expect(moved.outline).toEqual([[9, 6]])
  })
})

describe('what a lift says', () => {
  it('what is still to do, step by step', () => {
    expect(liftSteps(bare, null).map(({ standing }) => standing)).toEqual(['empty', 'empty', 'empty', 'empty', 'empty'])
    const { lift, surface } = liftCase(34)
    const fit = fitLift(surface, lift)
    if (!fit.ok) throw new Error(fit.reason.code)
    expect(liftSteps(lift, fit.value).map(({ standing }) => standing)).toEqual(['enough', 'enough', 'enough', 'enough', 'enough'])
    expect(liftFitSentence(fit.value, 'mm')).toContain('cannot check each other')
    expect(liftFailureSentence({ code: 'few-points', have: 1, need: 4 })).toContain('1 of 4')
  })

  it('which point contradicts the others, and by how much in the units of the screen', () => {
    const { lift, surface } = liftCase(21, { points: 6 })
    const wrong = { ...lift, scalePoints: lift.scalePoints.map((point, i) => (i === 4 ? { ...point, yMm: (point.yMm ?? 0) + 12 } : point)) }
    const fit = fitLift(surface, wrong)
    if (!fit.ok) throw new Error(fit.reason.code)
    expect(liftFitSentence(fit.value, 'in')).toMatch(/contradict each other; look again at known point \d: it lies \d\.\d{3} in off/)
    expect(liftSteps(wrong, fit.value)[0]?.standing).toBe('look-again')
    expect(liftMarkFailureSentence({ code: 'past-tangent-line', index: 1, end: 'rear', byMm: 1.5 }, 'mm')).toContain(
      '1.50 mm past the rear',
    )
  })
})

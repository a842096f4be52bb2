/** The steps of fitting a photograph, how each stands, and what it asks for: sides, rings, oil holes, witness marks. */
import type { HandleRef as EditedHandle, HandleStep } from '@/components/editor/tools/handles'
import type { Journal } from '@/lib/model/journal'
import type { Units } from '@/lib/model/inspection'
import type { Handles, RingPlace } from '@/lib/model/photo'
import { unreachable } from '@/lib/model/result'
import { formatLength } from '@/lib/model/units'
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import { outlierSigmas } from '@/lib/photo/fit-warnings'
import type { HandleRef as FittedHandle } from '@/lib/photo/observation'

export type FitStep = {
  key: string
  name: string
  /** What to do, one sentence. */
  ask: string
  /** null: a place has to be typed before a point can stand for it. */
  sets: HandleStep | null
  count: number
  /** With fewer points the step is not done. */
  fewest: number
  /** May be left out where the photograph does not show it. */
  optional: boolean
}

/** Points that tell a straight edge, and a ring, with something left over to check them by. */
const fewestOnSide = 3
const fewestOnRing = 3

/** What the next points stand for: where the witness mark and the inked ring lie (mm), and which edge of each end is picked. */
export type FitPlaces = {
  /** Angle null: not typed yet. */
  clock: { angleDeg: number | null; axial: number }
  /** From the front cheek; null: not typed yet. */
  inked: number | null
  rear: 'rear-fillet' | 'rear-cheek'
  front: 'front-fillet' | 'front-cheek'
}

/** @param units of the screen: names of rings and sentences are in them */
export function fitSteps(journal: Journal, handles: Handles, places: FitPlaces, units: Units): FitStep[] {
  const { clock, inked, rear, front } = places
  const [first, second] = sideNames(handles)
  const sides = [first, second].map((name, index): FitStep => {
    const side = index as 0 | 1
    return {
      key: `side-${side}`,
      name: `${name} side`,
      ask: `Put three points or more along the ${name.toLowerCase()} edge of the cylinder, between the two fillets.`,
      sets: { part: 'side', side },
      count: handles.sides[side].length,
      fewest: fewestOnSide,
      optional: false,
    }
  })
  const ringPlaces = new Set<RingPlace>([rear, front, ...handles.rings.map((ring) => ring.at)])
  if (inked !== null) ringPlaces.delete(inked)
  const rings = [...ringPlaces].map(
    (at): FitStep => ({
      key: `ring-${at}`,
      name: ringWord(at, units),
      ask: ringAsk(journal, at),
      sets: { part: 'ring', at },
      count: handles.rings.find((ring) => ring.at === at)?.points.length ?? 0,
      fewest: fewestOnRing,
      optional: at !== rear && at !== front,
    }),
  )
  const holes = journal.oilHoles.map(
    (hole): FitStep => ({
      key: `hole-${hole.id}`,
      name: journal.oilHoles.length === 1 ? 'Oil hole' : `Oil hole ${hole.id}`,
      ask: 'Put the point in the middle of the oil hole’s mouth. Leave it out where this photograph does not show the hole.',
      sets: { part: 'hole', id: hole.id },
      count: handles.oilHoles.some((one) => one.id === hole.id) ? 1 : 0,
      fewest: 1,
      optional: true,
    }),
  )
  const ring: FitStep = {
    key: inkedKey,
    name: 'Inked ring',
    ask: 'Type how far a ring that you inked round the journal stands from the front cheek, then put three points or more on it.',
    sets: inked === null ? null : { part: 'ring', at: inked },
    count: handles.rings.find((one) => one.at === inked)?.points.length ?? 0,
    fewest: fewestOnRing,
    optional: true,
  }
  const witness: FitStep = {
    key: clockKey,
    name: 'Witness mark',
    ask: 'Type where the mark stands on the journal, then put the point on it. It tells the angle where no oil hole is seen.',
    sets: clock.angleDeg === null ? null : { part: 'clock', angleDeg: clock.angleDeg, axial: clock.axial },
    count: handles.clock.length,
    fewest: 1,
    optional: true,
  }
  return [...sides, ...rings, ...holes, ring, witness]
}

export const inkedKey = 'ring-inked'
export const clockKey = 'clock'

/** `set`: points enough, but no fit yet that could judge them. */
export type StepStanding = 'empty' | 'more' | 'set' | 'good' | 'look-again'

/** How a step stands; `off` are its handles that lie too far from where the others put them. */
export function standingOf(
  step: FitStep,
  residuals: readonly HandleResidual[] | null,
): { standing: StepStanding; off: readonly HandleResidual[] } {
  const own = (residuals ?? []).filter((residual) => belongs(step, residual.handle))
  const off = own.filter(isOff).sort((a, b) => b.studentised - a.studentised)
  if (step.count === 0) return { standing: 'empty', off: [] }
  if (off.length > 0) return { standing: 'look-again', off }
  if (step.count < step.fewest) return { standing: 'more', off: [] }
  return { standing: residuals ? 'good' : 'set', off: [] }
}

export function isOff(residual: HandleResidual): boolean {
  return residual.leftOut || residual.studentised > outlierSigmas
}

/** The editor's name of a handle that the fit speaks of. */
export function editedHandle(handle: FittedHandle): EditedHandle {
  switch (handle.kind) {
    case 'side':
      return { part: 'side', side: handle.list, index: handle.index }
    case 'ring':
      return { part: 'ring', ring: handle.ring, index: handle.index }
    case 'oilHole':
      return { part: 'hole', id: handle.id }
    case 'clock':
      return { part: 'clock', index: handle.index }
    default:
      return unreachable(handle)
  }
}

/** The step that a handle belongs to. */
export function stepOfHandle(steps: readonly FitStep[], handles: Handles, handle: EditedHandle): FitStep | undefined {
  return steps.find(({ key, sets }) => {
    if (handle.part === 'side') return sets?.part === 'side' && sets.side === handle.side
    if (handle.part === 'ring') return sets?.part === 'ring' && sets.at === handles.rings[handle.ring]?.at
    if (handle.part === 'hole') return sets?.part === 'hole' && sets.id === handle.id
    return key === clockKey
  })
}

/** A handle as the screen calls it: "Left side 2", "Witness mark". */
export function handleWord(steps: readonly FitStep[], handles: Handles, handle: EditedHandle): string {
  const name = stepOfHandle(steps, handles, handle)?.name ?? 'Handle'
  return handle.part === 'side' || handle.part === 'ring' ? `${name} ${handle.index + 1}` : name
}

function belongs({ key, sets }: FitStep, handle: FittedHandle): boolean {
  switch (handle.kind) {
    case 'side':
      return sets?.part === 'side' && sets.side === handle.list
    case 'ring':
      return sets?.part === 'ring' && sets.at === handle.at
    case 'oilHole':
      return sets?.part === 'hole' && sets.id === handle.id
    case 'clock':
      return key === clockKey
    default:
      return unreachable(handle)
  }
}

/** Left and right, or upper and lower where the journal lies across the photograph; by where the points stand. */
export function sideNames({ sides }: Handles): [string, string] {
  const [first, second] = sides.map(middleOf)
  if (!first || !second) {
    const lone = first ? sides[0] : sides[1]
    const across = lone.length > 1 && spread(lone, 0) > spread(lone, 1)
    return across ? ['Upper', 'Lower'] : ['Left', 'Right']
  }
  const across = Math.abs(first[1] - second[1]) > Math.abs(first[0] - second[0])
  if (across) return first[1] < second[1] ? ['Upper', 'Lower'] : ['Lower', 'Upper']
  return first[0] < second[0] ? ['Left', 'Right'] : ['Right', 'Left']
}

function middleOf(points: readonly (readonly [number, number])[]): [number, number] | null {
  if (points.length === 0) return null
  const sum = (axis: 0 | 1) => points.reduce((total, point) => total + point[axis], 0) / points.length
  return [sum(0), sum(1)]
}

function spread(points: readonly (readonly [number, number])[], axis: 0 | 1): number {
  const values = points.map((point) => point[axis])
  return Math.max(...values) - Math.min(...values)
}

function ringWord(at: RingPlace, units: Units): string {
  if (typeof at === 'number') return `Ring at ${formatLength(at, units)}`
  return { 'rear-fillet': 'Rear ring', 'front-fillet': 'Front ring', 'rear-cheek': 'Rear cheek', 'front-cheek': 'Front cheek' }[at]
}

function ringAsk(journal: Journal, at: RingPlace): string {
  if (typeof at === 'number') return 'Put three points or more on the inked ring.'
  const end = at.startsWith('rear') ? 'rear' : 'front'
  if (at.endsWith('cheek')) return `Put three points or more where the ${end} end meets the cheek.`
  const form = journal.fillets[end].form
  if (form === 'tangent') return `Put three points or more where the ${end} fillet begins.`
  return form === 'undercut'
    ? `Put three points or more on the edge of the ${end} undercut.`
    : `Put three points or more on the sharp ${end} edge.`
}

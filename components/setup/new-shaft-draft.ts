/** A shaft that is not on the bench yet: kept on this device until the server has it. */
import { z } from 'zod'
import type { Cut } from '@/lib/model/cut'
import type { Units } from '@/lib/model/inspection'
import type { Journal } from '@/lib/model/journal'
import { type DraftFaults, emptyDraft, type JournalDraft, journalOf, missingWord } from './journal-draft'
import { type PlannedJournal, plannedJournals, renumbered, type Throws } from './shaft-layout'

export type StandardSize = { from: number | null; to: number | null }
export type NewShaftDraft = {
  workOrder: string
  label: string
  counting: 'cylinders' | 'journals'
  cylinders: number
  throws: Throws
  mainsEvery: 1 | 2
  /** Front to rear, when counted journal by journal. */
  kinds: ('pin' | 'main')[]
  pin: JournalDraft
  main: JournalDraft
  pinStandard: StandardSize
  mainStandard: StandardSize
}

export const firstDraft: NewShaftDraft = {
  workOrder: '',
  label: '',
  counting: 'cylinders',
  cylinders: 4,
  throws: 'one',
  mainsEvery: 1,
  kinds: ['main', 'pin', 'main'],
  pin: emptyDraft,
  main: emptyDraft,
  pinStandard: { from: null, to: null },
  mainStandard: { from: null, to: null },
}

export function journalsOf(draft: NewShaftDraft): PlannedJournal[] {
  return draft.counting === 'cylinders' ? plannedJournals(draft) : renumbered(draft.kinds)
}

export type NewShaftFaults = {
  workOrder?: string
  journals?: string
  pin: DraftFaults
  main: DraftFaults
  pinStandard?: string
  mainStandard?: string
}

/** What is still missing or cannot be, by kind; empty where all is well. */
export function faultsOf(draft: NewShaftDraft, units: Units): NewShaftFaults {
  const planned = journalsOf(draft)
  const faults: NewShaftFaults = { pin: {}, main: {} }
  if (draft.workOrder.trim() === '') faults.workOrder = 'Still missing. Type what the tag is filed under.'
  if (planned.length === 0) faults.journals = 'No journal yet. Add a main or a pin.'
  for (const kind of ['pin', 'main'] as const) {
    for (const journal of planned.filter((one) => one.kind === kind)) {
      const made = journalOf(draft[kind], { name: journal.name, kind, stepEnds: journal.stepEnds }, units)
      if (!made.ok) Object.assign(faults[kind], made.reason)
    }
    const { from, to } = draft[`${kind}Standard`]
    if (from !== null && to !== null && from > to) faults[`${kind}Standard`] = 'The smaller size comes first. Change the two round.'
    if ((from === null) !== (to === null)) faults[`${kind}Standard`] = 'Type both sizes of the range, or neither.'
  }
  return faults
}

/** The same without what is merely not typed yet: what cannot be is said at once, what is missing when a person wants to go on. */
export function withoutMissing(faults: NewShaftFaults): NewShaftFaults {
  const typedOnes = (of: DraftFaults): DraftFaults =>
    Object.fromEntries(Object.entries(of).filter(([, sentence]) => sentence !== missingWord))
  return { pin: typedOnes(faults.pin), main: typedOnes(faults.main) }
}

export function isFaultless(faults: NewShaftFaults): boolean {
  return (
    !faults.workOrder &&
    !faults.journals &&
    !faults.pinStandard &&
    !faults.mainStandard &&
    Object.keys(faults.pin).length === 0 &&
    Object.keys(faults.main).length === 0
  )
}

/** The journals in mm. Only for a draft without faults. */
export function finishedJournals(draft: NewShaftDraft): Journal[] {
  return journalsOf(draft).map(({ name, kind, stepEnds }) => {
    const made = journalOf(draft[kind], { name, kind, stepEnds }, 'mm')
    if (!made.ok) throw new Error(`journal ${name} still has faults`)
    return made.value
  })
}

/** What the cut plan will start from; null where no standard size was typed. */
export function cutOf(draft: NewShaftDraft): Cut | null {
  const pin = rangeOf(draft.pinStandard)
  const main = rangeOf(draft.mainStandard)
  if (!pin && !main) return null
  return { standard: { ...(pin ? { pin } : {}), ...(main ? { main } : {}) }, ladder: {}, platingPerSide: null }
}

function rangeOf({ from, to }: StandardSize): [number, number] | null {
  return from === null || to === null ? null : [from, to]
}

const draftKey = 'throwmark:new-shaft'
const typed = z.number().nullable()
const endDraftSchema = z.object({ form: z.enum(['tangent', 'undercut', 'step']), radius: typed, sigma: typed, width: typed })
const journalDraftSchema = z.object({
  diameter: typed,
  width: typed,
  endsAlike: z.boolean(),
  front: endDraftSchema,
  rear: endDraftSchema,
  holes: z.array(
    z.object({ id: z.string(), angleDeg: typed, axial: typed, middle: z.boolean(), mouthAround: typed, mouthAlong: typed, tiltDeg: typed }),
  ),
  coating: z.enum(['none', 'unknown', 'suspected', 'known']),
  platingPerSide: typed,
  overheated: z.boolean(),
  strip: z.object({
    worn: z.boolean(),
    printedFor: typed,
    toFront: z.enum(['front', 'rear']),
    frontEdge: typed,
    zeroAngleDeg: typed,
    gapMm: typed,
  }),
})
const standardSchema = z.object({ from: typed, to: typed })
const draftSchema: z.ZodType<NewShaftDraft> = z.object({
  workOrder: z.string(),
  label: z.string(),
  counting: z.enum(['cylinders', 'journals']),
  cylinders: z.int(),
  throws: z.enum(['one', 'two', 'split']),
  mainsEvery: z.union([z.literal(1), z.literal(2)]),
  kinds: z.array(z.enum(['pin', 'main'])),
  pin: journalDraftSchema,
  main: journalDraftSchema,
  pinStandard: standardSchema,
  mainStandard: standardSchema,
})

/** The draft left on this device, or null. One of an older form is dropped. */
export function readKeptDraft(storage: Storage): NewShaftDraft | null {
  try {
    const parsed = draftSchema.safeParse(JSON.parse(storage.getItem(draftKey) ?? 'null'))
    return parsed.success ? parsed.data : null
  } catch {
    return null
  }
}

export function keepDraft(storage: Storage, draft: NewShaftDraft | null) {
  try {
    if (draft === null) storage.removeItem(draftKey)
    else storage.setItem(draftKey, JSON.stringify(draft))
  } catch {
    // Storage full or forbidden: the draft lives as long as the page.
  }
}

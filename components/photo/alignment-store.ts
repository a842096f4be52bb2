/**
 * Follows the server's laying of photographs beside each other: asked once the bench is saved and rests a while, again
 * while work goes on. What comes back counts only if its key is the key of what the page holds.
 */
import type { ApiFailure } from '@/components/ui/api-client'
import type { BenchState } from '@/components/editor/bench-state'
import type { BenchDocument } from '@/components/editor/document'
import type { Journal } from '@/lib/model/journal'
import type { Result } from '@/lib/model/result'
import type { AlignmentWish, JournalAlignment } from '@/lib/photo/alignment-record'
import { alignmentText } from '@/lib/rollout/alignment-source'
import { type Aligned, type AlignedJournal, alignedJournal, alignmentInputs, notAligned, photosOf } from './aligned-photos'

export type AlignmentStore = {
  state: () => Aligned
  subscribe: (listener: () => void) => () => void
  /** Stops it for a journal, or lets it go on. */
  wish: (wish: AlignmentWish) => void
}
type Bench = { state: () => BenchState; subscribe: (listener: () => void) => () => void }
type Ask = (wish?: AlignmentWish) => Promise<Result<{ journals: JournalAlignment[] }, ApiFailure>>

const restMs = 1200
const againMs = 1000
/** After a request that brought nothing. */
const laterMs = 8000

export function alignmentStore(bench: Bench, ask: Ask): AlignmentStore {
  let state = notAligned
  let inputs = inputsOf(bench.state().document)
  let timer: ReturnType<typeof setTimeout> | null = null
  let asking = false
  const listeners = new Set<() => void>()

  const askIn = (ms: number) => {
    if (timer !== null) clearTimeout(timer)
    timer = setTimeout(() => {
      timer = null
      void look()
    }, ms)
  }

  const wishes: AlignmentWish[] = []

  const look = async () => {
    if (asking) return askIn(againMs)
    // the server lays what it was given: first everything is saved
    if (bench.state().waiting.length > 0) return askIn(restMs)
    const { document } = bench.state()
    asking = true
    const answer = await ask(wishes.shift()).finally(() => {
      asking = false
    })
    if (!answer.ok) return askIn(laterMs)
    state = await taken(state, document, answer.value.journals)
    for (const listener of listeners) listener()
    if (wishes.length > 0) askIn(0)
    else if (answer.value.journals.some((one) => one.state === 'working')) askIn(againMs)
  }

  bench.subscribe(() => {
    const now = inputsOf(bench.state().document)
    if (now.length === inputs.length && now.every((value, i) => value === inputs[i])) return
    inputs = now
    askIn(restMs)
  })
  askIn(0)

  return {
    state: () => state,
    subscribe: (listener) => {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
    wish: (wish) => {
      wishes.push(wish)
      askIn(0)
    },
  }
}

/** What the answer makes of the state. Journals that are known already and still hold keep their identity. */
async function taken(before: Aligned, document: BenchDocument, answers: readonly JournalAlignment[]): Promise<Aligned> {
  const journals = new Map<string, AlignedJournal>()
  for (const { value: journal } of document.journals) {
    const held = alignedJournal(before, document, journal)
    const answer = answers.find((one) => one.journalId === journal.id)
    if (held) journals.set(journal.id, held)
    else if (answer?.state === 'ready' && answer.photos && answer.key === (await keyOf(document, journal))) {
      const photos = new Map(answer.photos.map((one) => [one.photoId, one]))
      journals.set(journal.id, { madeFrom: alignmentInputs(document, journal), photos })
    }
  }
  return {
    journals,
    work: new Map(answers.flatMap(({ journalId, state, done, of }) => (state === 'working' ? [[journalId, { done, of }] as const] : []))),
    stopped: new Set(answers.flatMap(({ journalId, state }) => (state === 'stopped' ? [journalId] : []))),
    failed: new Map(answers.flatMap(({ journalId, state, detail }) => (state === 'failed' ? [[journalId, detail ?? ''] as const] : []))),
  }
}

/** As the server makes it: see its alignments. */
async function keyOf(document: BenchDocument, journal: Journal): Promise<string> {
  const photos = photosOf(document, journal).flatMap(({ id, value: photo }) => {
    const file = document.files[id] ?? null
    const counts = file !== null || photo.file !== undefined || photo.handles.strip !== null
    return counts ? [{ photo, lens: file?.lens ?? null, sha256: file?.sha256 ?? null }] : []
  })
  const bytes = new TextEncoder().encode(alignmentText({ journal, photos }))
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('')
}

function inputsOf(document: BenchDocument): unknown[] {
  return document.journals.flatMap(({ value }) => alignmentInputs(document, value))
}

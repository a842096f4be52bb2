'use client'
/** What stands between the bench and the server: what waits, what two people changed, what was refused, what was just removed. */
import { findingTitle } from '@/components/finding/finding-words'
import { journalFindings } from '@/components/finding/journal-findings'
import type { Aligned } from '@/components/photo/aligned-photos'
import { Button } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { journalWord } from '@/components/ui/shaft-words'
import type { Mark } from '@/lib/model/mark'
import { formatMeasuredAngle } from '@/lib/model/units'
import { useAligned } from './bench-context'
import type { BenchState, Conflict } from './bench-state'
import type { BenchStore } from './bench-store'
import { applyEdits, findRow } from './document'
import { markLetter, nextMarkName } from './mark-names'

export function BenchNotices({ state, store }: { state: BenchState; store: BenchStore }) {
  const { link, waiting, conflicts, refused, history } = state
  const last = history.done.at(-1)
  const removal = last?.words.startsWith('Remove') ? last : null
  return (
    <div aria-live="polite">
      {link === 'away' ? (
        <div className="unsaved">
          <span>
            <b>{waiting.length > 0 ? 'Not saved yet: the server does not answer.' : 'The server does not answer.'}</b>{' '}
            {waiting.length > 0
              ? `${waiting.length === 1 ? 'One change waits' : `${waiting.length} changes wait`} on this device and ${waiting.length === 1 ? 'goes' : 'go'} when it is back. Go on working.`
              : 'What you change now is kept on this device and saved when it is back.'}
          </span>
          <Button kind="flat" onPress={() => void store.refresh()}>
            Try now
          </Button>
        </div>
      ) : null}
      {refused ? (
        <Notice
          weighty
          urgent
          title="The server did not take this change."
          acts={<Button onPress={store.takeBackRefused}>Take it back</Button>}
        >
          <p>{refused.words}</p>
        </Notice>
      ) : null}
      {conflicts.map((conflict) => (
        <ConflictNotice key={conflict.id} conflict={conflict} state={state} store={store} />
      ))}
      {removal ? (
        <div className="unsaved">
          <span>{removal.words.replace(/^Remove (\w)/, (_, first: string) => first.toUpperCase())} is gone.</span>
          <Button kind="flat" onPress={store.undo}>
            Put it back
          </Button>
        </div>
      ) : null}
    </div>
  )
}

function ConflictNotice({ conflict, state, store }: { conflict: Conflict; state: BenchState; store: BenchStore }) {
  const aligned = useAligned()
  const mine = findRow(state.document, conflict.kind, conflict.id)?.value ?? null
  const name = conflictName(conflict, state)
  const bothStand = conflict.kind === 'mark' && mine !== null && conflict.value !== null
  const keepBoth = () => {
    const own = mine as Mark
    const after = { ...own, id: nextMarkName(state.document, own.journalId) }
    store.keepBoth(conflict.id, `Draw mark ${markLetter(after)}`, [{ kind: 'mark', id: crypto.randomUUID(), before: null, after }])
  }
  return (
    <Notice
      weighty
      urgent
      title={`${name} was changed in another window while you changed it. Both are kept until you choose.`}
      acts={
        <>
          <Button onPress={() => store.keepMine(conflict.id)}>Keep mine</Button>
          <Button onPress={() => store.keepTheirs(conflict.id)}>Keep theirs</Button>
          {bothStand ? <Button onPress={keepBoth}>Keep both</Button> : null}
        </>
      }
    >
      <p>
        Yours, on the bench: {versionWords(state, conflict, mine, aligned)} Theirs: {versionWords(state, conflict, conflict.value, aligned)}
      </p>
    </Notice>
  )
}

function conflictName(conflict: Conflict, state: BenchState): string {
  const value = findRow(state.document, conflict.kind, conflict.id)?.value ?? conflict.value
  if (conflict.kind === 'mark' && value && 'journalId' in value) return `Mark ${markLetter(value as Mark)}`
  if (conflict.kind === 'journal' && value && 'kind' in value) return journalWord(value)
  return `Photograph ${value?.id ?? ''}`
}

/** One version of a row in a sentence: for a mark its finding and angle, as either would be judged. */
function versionWords(state: BenchState, conflict: Conflict, value: Conflict['value'], aligned: Aligned): string {
  if (value === null) return 'removed.'
  if (conflict.kind === 'photo' && 'handles' in value) {
    const { sides, rings, oilHoles, clock } = value.handles
    const count = sides.flat().length + rings.flatMap((ring) => ring.points).length + oilHoles.length + clock.length
    return `${count} handle points, ${value.ignore.length} parts left out.`
  }
  if (conflict.kind !== 'mark') return 'see the set-up.'
  const mark = value as Mark
  const journal = state.document.journals.find((row) => row.value.id === mark.journalId)
  if (!journal) return 'on a journal that is gone.'
  const document = applyEdits(state.document, [{ kind: 'mark', id: conflict.id, before: null, after: mark }])
  const finding = journalFindings(document, journal.value, aligned).marks.find((one) => one.id === mark.id)
  if (!finding) return 'not measured.'
  const angle = finding.angleToAxisDeg === null ? '' : `, ${formatMeasuredAngle(finding.angleToAxisDeg, finding.sigma.angleDeg ?? 0)}`
  const seen = mark.seen.length > 0 ? `, seen: ${mark.seen.join(', ')}` : ''
  const note = mark.note ? `, note “${mark.note}”` : ''
  return `${findingTitle(finding)}${angle}, touch ${mark.feel}${seen}${note}.`
}

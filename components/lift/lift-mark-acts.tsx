'use client'
/** Keeping what is drawn on a lift, and the marks that came from it with what the findings say of them. */
import { type JournalModel, markFinding } from '@/components/editor/bench-model'
import { markLetter } from '@/components/editor/mark-names'
import { findingTitle } from '@/components/finding/finding-words'
import { Button } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { useUnits } from '@/components/ui/preferences'
import type { Pixel } from '@/lib/model/photo'
import { formatLengthBare } from '@/lib/model/units'
import own from './lift.module.css'

export function LiftMarkActs({
  outline,
  chosen,
  ready,
  fault,
  model,
  note,
  onKeep,
  onDrop,
  onGiveUp,
}: {
  outline: readonly Pixel[]
  chosen: boolean
  /** The lift lies on the map. */
  ready: boolean
  fault: string | null
  model: JournalModel
  /** By which marks of this lift are known. */
  note: string
  onKeep: (shape: 'line' | 'area') => void
  onDrop: () => void
  onGiveUp: () => void
}) {
  const units = useUnits()
  const notYet = (what: string, fewest: number) =>
    !ready ? `${what}: not on the map yet` : outline.length < fewest ? `${what}: ${fewest} points at least` : undefined
  const made = model.marks.filter((row) => row.value.note?.startsWith(note))
  return (
    <>
      {fault ? (
        <p className="field-word" role="alert">
          {fault}
        </p>
      ) : null}
      <div className={own.acts} data-next-step>
        <Button notYet={outline.length > 0 ? undefined : 'Give up'} onPress={onGiveUp}>
          Give up
        </Button>
        <Button notYet={chosen ? undefined : 'Drop point'} onPress={onDrop}>
          Drop point
        </Button>
        <Button notYet={notYet('Patch', 3)} onPress={() => onKeep('area')}>
          Keep as a patch
        </Button>
        <Button kind="main" notYet={notYet('Mark', 2)} onPress={() => onKeep('line')}>
          Keep as a mark
        </Button>
      </div>
      {made.length > 0 ? (
        <ul className={own.made} aria-label="Marks from this lift">
          {made.map((row) => {
            const finding = markFinding(model, row.value)
            return (
              <li key={row.id}>
                <span className="stamp">{markLetter(row.value)}</span>
                {finding ? <ConcernWord concern={finding.concern} /> : null}
                <span className={own.words}>
                  {finding ? findingTitle(finding) : ''}
                  <span className="soft">
                    {' '}
                    ± {formatLengthBare(1.96 * (row.value.sigmaMm ?? 0), units)} {units} a point
                  </span>
                </span>
              </li>
            )
          })}
        </ul>
      ) : null}
    </>
  )
}

'use client'
/** The whole shaft on a phone: a cell for each journal with its line, or the share that was seen. */
import type { JournalModel } from '@/components/editor/bench-model'
import { seenShare } from '@/components/finding/finding-words'
import { ConcernLine, concernWords } from '@/components/ui/concern-word'
import { journalWord } from '@/components/ui/shaft-words'
import { concernOf } from './shaft-strip'
import styles from './shaft-strip.module.css'

export function PhoneStrip({
  models,
  chosen,
  onChoose,
}: {
  models: readonly JournalModel[]
  chosen: string
  onChoose: (rowId: string) => void
}) {
  return (
    <nav className={styles.phone} aria-label="Journals, front to rear">
      {models.map((model) => {
        const concern = concernOf(model)
        const coverage = model.findings.journals[0]?.coverage
        const seen = model.photos.length === 0 ? 'to do' : `${coverage ? seenShare(coverage) : 0} %`
        const spoken =
          concern === 'nothing-recorded'
            ? model.photos.length === 0
              ? 'no photograph yet'
              : `nothing recorded, ${seen} seen`
            : concernWords[concern].toLowerCase()
        return (
          <button
            key={model.row.id}
            type="button"
            aria-current={model.row.id === chosen ? 'true' : undefined}
            onClick={() => onChoose(model.row.id)}
          >
            <span>{model.row.value.id}</span>
            <span className={styles.spoken}>
              {journalWord(model.row.value)}, {spoken}
            </span>
            <span>{concern === 'nothing-recorded' ? seen : <ConcernLine concern={concern} width={30} />}</span>
          </button>
        )
      })}
    </nav>
  )
}

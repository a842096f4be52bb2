'use client'
/** The whole shaft above the bench: every journal small, with its word and line, or what share of it was seen. */
import { Fragment } from 'react'
import type { JournalModel } from '@/components/editor/bench-model'
import { seenShare } from '@/components/finding/finding-words'
import { ConcernWord } from '@/components/ui/concern-word'
import { journalWord } from '@/components/ui/shaft-words'
import type { JournalConcern } from '@/lib/model/findings'
import styles from './shaft-strip.module.css'
import { StripCell } from './strip-cell'
import { stripPlaces } from './strip-places'
import type { StripPicture } from './use-strip-rollouts'

export function ShaftStrip({
  models,
  pictures,
  chosen,
  onChoose,
}: {
  models: readonly JournalModel[]
  pictures: ReadonlyMap<string, StripPicture>
  chosen: string
  onChoose: (rowId: string) => void
}) {
  const { places, steps } = stripPlaces(models.map((model) => model.row.value.kind))
  return (
    <nav className={styles.strip} aria-label="The whole shaft, front to the left">
      <span className={`note ${styles.front}`}>front</span>
      <span className={`note ${styles.rear}`}>rear</span>
      <ol
        className={styles.grid}
        style={{ gridTemplateColumns: `repeat(${steps * 2}, minmax(0, 1fr))`, minWidth: steps * 66, maxWidth: steps * 150 }}
      >
        {models.map((model, index) => {
          const place = places[index]
          const following = places[index + 1]
          if (!place) return null
          const column = place.x * 2 + 1
          return (
            <Fragment key={model.row.id}>
              <li
                className={place.row === 'main' ? styles.main : styles.pin}
                style={{ gridColumn: `${column} / span 4`, gridRow: place.row === 'main' ? 1 : 3 }}
              >
                <button
                  type="button"
                  className={styles.journal}
                  aria-current={model.row.id === chosen ? 'true' : undefined}
                  onClick={() => onChoose(model.row.id)}
                >
                  <span className={styles.words}>
                    <b>{journalWord(model.row.value)}</b>
                    <JournalStanding model={model} />
                  </span>
                  <StripCell model={model} picture={pictures.get(model.row.id)} />
                </button>
              </li>
              {following && following.row !== place.row ? (
                <li className={styles.cheek} aria-hidden="true" style={{ gridColumn: `${following.x * 2 + 1} / span 2`, gridRow: 2 }} />
              ) : null}
            </Fragment>
          )
        })}
      </ol>
    </nav>
  )
}

export function concernOf(model: JournalModel): JournalConcern {
  return model.findings.journals[0]?.concern ?? 'nothing-recorded'
}

function JournalStanding({ model }: { model: JournalModel }) {
  const concern = concernOf(model)
  const coverage = model.findings.journals[0]?.coverage
  if (concern !== 'nothing-recorded') return <ConcernWord concern={concern} inSentence />
  if (model.photos.length === 0) return <span className="unseen">no photograph yet</span>
  return <span className={styles.seen}>nothing recorded, {coverage ? seenShare(coverage) : 0} % seen</span>
}

'use client'
/** The line above the photograph: which one, how its fit stands, and what to do about it. */
import type { JournalModel } from '@/components/editor/bench-model'
import type { BenchStore } from '@/components/editor/bench-store'
import type { Edit, Row } from '@/components/editor/document'
import { Button } from '@/components/ui/button'
import { useUnits } from '@/components/ui/preferences'
import type { Photo } from '@/lib/model/photo'
import styles from './photo-caption.module.css'
import { alignmentLine, fitLine } from './fit-words'

export function PhotoCaption({
  row,
  model,
  store,
  onFit,
  mainStep,
}: {
  row: Row<Photo>
  model: JournalModel
  store: BenchStore
  onFit: () => void
  /** Fitting is the one next thing. */
  mainStep: boolean
}) {
  const fit = model.fits.get(row.id)
  const units = useUnits()
  const laid = fit ? alignmentLine(fit, units) : null
  const number = model.photos.indexOf(row) + 1
  const never = fit !== undefined && !fit.ok && (fit.reason.code === 'no-handles' || fit.reason.code === 'strip')
  return (
    <div className={styles.line}>
      <div className={styles.words}>
        <h2>
          Photograph {number} of {model.photos.length}
        </h2>
        <span className="soft">
          {fit ? fitLine(fit) : ''}
          {laid ? `. ${laid}` : ''}
        </span>
      </div>
      <span className={styles.acts} data-next-step={mainStep || undefined}>
        {row.value.ignore.length > 0 ? (
          <Button
            kind="flat"
            onPress={() =>
              store.perform('Show what was left out', [
                { kind: 'photo', id: row.id, before: row.value, after: { ...row.value, ignore: row.value.ignore.slice(0, -1) } },
              ])
            }
          >
            Show what was left out last
          </Button>
        ) : null}
        <Button kind="flat" label={`Remove photograph ${number}`} onPress={() => removePhoto(row, number, model, store)}>
          Remove
        </Button>
        <Button kind={mainStep ? 'main' : 'plain'} onPress={onFit}>
          {never ? 'Fit this photograph' : 'Look at the fit'}
        </Button>
      </span>
    </div>
  )
}

/** Marks drawn on a photograph hang on it: they go, and come back, with it. */
export function removePhoto(row: Row<Photo>, number: number, model: JournalModel, store: BenchStore) {
  const marks = model.marks.filter((mark) => mark.value.photoId === row.value.id)
  const edits: Edit[] = [
    ...marks.map((mark): Edit => ({ kind: 'mark', id: mark.id, before: mark.value, after: null })),
    { kind: 'photo', id: row.id, before: row.value, after: null },
  ]
  const along = marks.length === 0 ? '' : marks.length === 1 ? ' with the mark drawn on it' : ` with the ${marks.length} marks drawn on it`
  store.perform(`Remove photograph ${number}${along}`, edits)
}

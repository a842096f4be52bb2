'use client'
/** The journal's photographs as a strip of small pictures: choose one, see how its fit stands, add more. */
import type { JournalModel } from '@/components/editor/bench-model'
import { AddPhotos } from './add-photos'
import { fitLine } from './fit-words'
import { previewPath } from './photo-picture'
import styles from './photo-strip.module.css'

export function PhotoStrip({
  model,
  chosen,
  onChoose,
  onFiles,
}: {
  model: JournalModel
  chosen: string | null
  onChoose: (rowId: string) => void
  onFiles: (files: readonly File[]) => void
}) {
  return (
    <div className={styles.strip}>
      <ol className={styles.photos} hidden={model.photos.length === 0} aria-label="Photographs of this journal">
        {model.photos.map((row, index) => {
          const fit = model.fits.get(row.id)
          const needs = !fit?.ok || !fit.value.trusted
          const word = fit ? fitLine(fit) : ''
          return (
            <li key={row.id}>
              <button
                type="button"
                className={styles.photo}
                aria-pressed={row.id === chosen}
                aria-label={`Photograph ${index + 1} of ${model.photos.length}, ${word}`}
                title={`${row.value.file ?? row.value.id}: ${word}`}
                onClick={() => onChoose(row.id)}
              >
                {/* biome-ignore lint/performance/noImgElement: the server makes the preview itself */}
                <img src={previewPath(row.id, 320)} alt="" loading="lazy" width={72} height={54} />
                <span className={needs ? styles.needs : undefined}>{index + 1}</span>
              </button>
            </li>
          )
        })}
      </ol>
      <AddPhotos onFiles={onFiles} main={model.photos.length === 0} />
    </div>
  )
}

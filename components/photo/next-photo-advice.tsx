'use client'
/** What to photograph next, beside the photographs: one sentence, a drawing from the front end, and whether it stands on the map. */
import { Button } from '@/components/ui/button'
import type { JournalModel } from '@/components/editor/bench-model'
import type { UnseenCells } from '@/components/map/unseen-cells'
import styles from './next-photo-advice.module.css'
import { NextPhotoDrawing } from './next-photo-drawing'
import { nextPhotoReason, nextPhotoSentence, uncountedWords } from './next-photo-words'
import type { NextPhotoState } from './use-next-photo'

export function NextPhotoAdvice({
  next,
  model,
  unseen,
  onMap,
  show,
}: NextPhotoState & {
  model: JournalModel
  unseen: UnseenCells
}) {
  if (!next) return null
  const journal = model.row.value
  const numberOf = (photoId: string) => model.photos.findIndex((row) => row.value.id === photoId) + 1
  const uncounted = uncountedWords(
    model.photos.flatMap((row, index) => {
      const fit = model.fits.get(row.id)
      return fit?.ok && fit.value.trusted && fit.value.slideKnown ? [] : [index + 1]
    }),
  )
  return (
    <section className={styles.advice} aria-label="What to photograph next">
      {next.kind === 'take' ? <NextPhotoDrawing unseen={unseen} surface={model.surface} facingDeg={next.standpoint.facingDeg} /> : null}
      <div className={styles.words}>
        <p className={styles.sentence}>{nextPhotoSentence(next, journal, numberOf)}</p>
        {next.kind === 'take' ? (
          <p className="note">{nextPhotoReason(next, journal, numberOf)} Clock and turn are seen from the front, the witness line at 12.</p>
        ) : null}
        {uncounted ? <p className="note">{uncounted}</p> : null}
        {next.kind === 'take' ? (
          <Button kind="flat" onPress={() => show(!onMap)}>
            {onMap ? 'Take it off the map' : 'Show it on the map'}
          </Button>
        ) : null}
      </div>
    </section>
  )
}

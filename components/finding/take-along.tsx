'use client'
/** What one can take along of a shaft: the inspection file, the bundle with its photographs, the table of marks, a rollout as a picture. */
import type { Row } from '@/components/editor/document'
import { journalWord } from '@/components/ui/shaft-words'
import type { Journal } from '@/lib/model/journal'
import styles from './findings-page.module.css'

export function TakeAlong({ shaftId, journals }: { shaftId: string; journals: readonly Row<Journal>[] }) {
  const path = `/api/shafts/${shaftId}`
  return (
    <section className={`sheet ${styles.journal}`} aria-label="Take along">
      <h2>Take along</h2>
      <p className="note">Taken in again on the first page, the inspection file or the bundle gives the same findings to the last digit.</p>
      <div className={styles.files}>
        <a className="btn" href={`${path}/inspection`} download>
          Inspection file
        </a>
        <a className="btn" href={`${path}/bundle`} download>
          Bundle with photographs (zip)
        </a>
        <a className="btn" href={`${path}/marks.csv`} download>
          Table of marks (CSV)
        </a>
      </div>
      <p className="note">Rollouts as pictures (PNG)</p>
      <div className={styles.files}>
        {journals.map((row) => (
          <a key={row.id} className="btn" href={`/api/journals/${row.id}/rollout.png?pxPerMm=12`} download={`${row.value.id}-rollout.png`}>
            {journalWord(row.value)}
          </a>
        ))}
      </div>
    </section>
  )
}

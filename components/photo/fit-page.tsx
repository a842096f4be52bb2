'use client'
/** Fitting a photograph on a screen of its own: the phone's way, and a large one at a desk. */
import { useRouter } from 'next/navigation'
import { useBench } from '@/components/editor/bench-context'
import { BenchNotices } from '@/components/editor/bench-notices'
import { WaitingFor } from '@/components/editor/waiting-for'
import { ButtonLink } from '@/components/ui/button'
import { useShaft } from '@/components/ui/shaft-document'
import { journalWord, journalWordWithin } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import { FitBench } from './fit-bench'
import styles from './fit-page.module.css'

export function FitPage({ photoRow }: { photoRow: string }) {
  const bench = useBench()
  const router = useRouter()
  const { shaftId } = useShaft()
  if (bench.kind !== 'ready') return <WaitingFor bench={bench} />
  const { state, store } = bench
  const photo = state.document.photos.find((row) => row.id === photoRow)
  const journal = photo && state.document.journals.find((row) => row.value.id === photo.value.journalId)
  const back = `/shafts/${shaftId}/bench${journal ? `?journal=${encodeURIComponent(journal.value.id)}` : ''}`
  if (!photo || !journal)
    return (
      <Shell>
        <div className={styles.gone}>
          <h1>This photograph is not here.</h1>
          <p>It may have been removed; on the bench it can be put back.</p>
          <ButtonLink href={back}>Back to the bench</ButtonLink>
        </div>
      </Shell>
    )
  const word = journalWord(journal.value)
  const number = state.document.photos.filter((row) => row.value.journalId === journal.value.id).indexOf(photo) + 1
  const head = (
    <header className={styles.head}>
      <ButtonLink kind="flat" href={back}>
        ‹ {word}
      </ButtonLink>
      <h1>Fit the journal</h1>
      <span className="soft">photo {number}</span>
    </header>
  )
  return (
    <Shell head={head}>
      <BenchNotices state={state} store={store} />
      <div className={styles.screen}>
        <FitBench
          key={photo.id}
          row={photo}
          journal={journal.value}
          lens={state.document.files[photo.id]?.lens ?? null}
          store={store}
          onDone={() => router.push(back)}
          doneWord={`Done: back to ${journalWordWithin(journal.value)}`}
        />
      </div>
    </Shell>
  )
}

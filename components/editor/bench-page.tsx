'use client'
/** The bench's page: waits for the shaft, says what is in the way, and keeps the chosen journal in the address. */
import { useRouter, useSearchParams } from 'next/navigation'
import { useCallback, useEffect } from 'react'
import { ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { useShaft } from '@/components/ui/shaft-document'
import { Shell } from '@/components/ui/shell'
import styles from './bench.module.css'
import { useBench } from './bench-context'
import { BenchScreen } from './bench-screen'
import { WaitingFor } from './waiting-for'

export function BenchPage() {
  const bench = useBench()
  const router = useRouter()
  const journal = useSearchParams().get('journal')
  const { shaftId, reload } = useShaft()
  const choose = useCallback(
    (name: string) => router.replace(`/shafts/${shaftId}/bench?journal=${encodeURIComponent(name)}`, { scroll: false }),
    [router, shaftId],
  )
  // other pages of this shaft begin from what the bench has changed
  useEffect(() => reload, [reload])
  if (bench.kind === 'ready' && bench.state.document.journals.length > 0)
    return <BenchScreen store={bench.store} state={bench.state} aligned={bench.aligned} journalName={journal} onJournal={choose} />
  if (bench.kind !== 'ready') return <WaitingFor bench={bench} />
  return (
    <Shell>
      <div className={styles.wait}>
        <Notice
          title="This shaft has no journals yet."
          acts={
            <ButtonLink kind="main" href={`/shafts/${shaftId}/setup`}>
              Set it up
            </ButtonLink>
          }
        >
          <p>Photographs are taken of a journal, so the bench begins with the set-up: mains, pins, and their sizes.</p>
        </Notice>
      </div>
    </Shell>
  )
}

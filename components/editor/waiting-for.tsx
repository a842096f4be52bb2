'use client'
/** A page of the bench before the shaft has come, or when it cannot be had. */
import { failureSentence } from '@/components/ui/api-client'
import { Button, ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { Shell } from '@/components/ui/shell'
import styles from './bench.module.css'
import type { OpenedBench } from './bench-context'

export function WaitingFor({ bench }: { bench: Exclude<OpenedBench, { kind: 'ready' }> }) {
  const gone = bench.kind === 'failed' && bench.failure.kind === 'refused' && bench.failure.status === 404
  return (
    <Shell>
      <div className={styles.wait}>
        {bench.kind === 'loading' ? (
          <p>Fetching the shaft …</p>
        ) : (
          <Notice
            weighty
            urgent
            title={gone ? 'There is no such shaft on the bench.' : 'The shaft could not be fetched.'}
            acts={
              <>
                {gone ? null : <Button onPress={bench.again}>Try again</Button>}
                <ButtonLink href="/">All shafts</ButtonLink>
              </>
            }
          >
            <p>
              {gone
                ? 'It may have been taken off; then it can still be put back from the window that did it.'
                : failureSentence(bench.failure)}
            </p>
          </Notice>
        )}
      </div>
    </Shell>
  )
}

'use client'
/** A page of one shaft, once its document is there; until then, and where it cannot be had, a sentence that says so. */
import type { ReactNode } from 'react'
import type { ShaftDocument } from '@/lib/model/rows'
import { failureSentence } from './api-client'
import { Button, ButtonLink } from './button'
import { Notice } from './notice'
import styles from './shaft-gate.module.css'
import { railShaft, useShaft } from './shaft-document'
import { Shell } from './shell'

export function ShaftGate({ children }: { children: (document: ShaftDocument) => ReactNode }) {
  const { state, reload } = useShaft()
  switch (state.kind) {
    case 'loading':
      return (
        <Shell>
          <h1 className={styles.wait}>Fetching the shaft …</h1>
        </Shell>
      )
    case 'failed': {
      const gone = state.failure.kind === 'refused' && (state.failure.status === 404 || state.failure.status === 400)
      return (
        <Shell>
          <div className={styles.wait}>
            <h1>Shaft</h1>
            <Notice
              weighty
              urgent
              title={gone ? 'There is no such shaft on the bench.' : 'The shaft could not be fetched.'}
              acts={
                <>
                  {gone ? null : <Button onPress={reload}>Try again</Button>}
                  <ButtonLink href="/">All shafts</ButtonLink>
                </>
              }
            >
              <p>
                {gone
                  ? 'It may have been taken off; then it can still be put back from the window that did it.'
                  : failureSentence(state.failure)}
              </p>
            </Notice>
          </div>
        </Shell>
      )
    }
    case 'ready':
      return <Shell shaft={railShaft(state.document)}>{children(state.document)}</Shell>
  }
}

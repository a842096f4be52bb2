'use client'
/** An inspection file or a bundle comes in: dropped or chosen. What is wrong with it is listed with the place in the file. */
import { useRouter } from 'next/navigation'
import { useId, useRef, useState } from 'react'
import { z } from 'zod'
import { type ApiFailure, apiUpload, failureSentence } from '@/components/ui/api-client'
import { ButtonLink } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import { Notice } from '@/components/ui/notice'
import { shaftDocumentSchema } from '@/lib/model/rows'
import styles from './shafts.module.css'

const importedSchema = z.object({ document: shaftDocumentSchema, photosAbsent: z.array(z.string()) })
type State =
  | { kind: 'idle' }
  | { kind: 'sending'; file: string; share: number }
  | { kind: 'failed'; file: string; failure: ApiFailure }
  | { kind: 'without-photos'; shaftId: string; absent: string[] }

export function ImportFile() {
  const router = useRouter()
  const id = useId()
  const [state, setState] = useState<State>({ kind: 'idle' })
  const [over, setOver] = useState(false)
  const stop = useRef<AbortController | null>(null)

  async function take(file: File) {
    stop.current = new AbortController()
    setState({ kind: 'sending', file: file.name, share: 0 })
    const raw = new Blob([file], { type: /\.json$/i.test(file.name) ? 'application/json' : 'application/octet-stream' })
    try {
      const answer = await apiUpload(importedSchema, {
        path: `/api/imports?id=${crypto.randomUUID()}`,
        raw,
        signal: stop.current.signal,
        onProgress: (share) => setState({ kind: 'sending', file: file.name, share }),
      })
      if (!answer.ok) setState({ kind: 'failed', file: file.name, failure: answer.reason })
      else if (answer.value.photosAbsent.length > 0)
        setState({ kind: 'without-photos', shaftId: answer.value.document.shaft.id, absent: answer.value.photosAbsent })
      else router.push(`/shafts/${answer.value.document.shaft.id}/bench`)
    } catch {
      setState({ kind: 'idle' })
    }
  }

  return (
    <section
      className={over ? `${styles.drop} ${styles.over}` : styles.drop}
      aria-label="Bring in a file"
      onDragOver={(event) => {
        event.preventDefault()
        setOver(true)
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault()
        setOver(false)
        const file = event.dataTransfer.files[0]
        if (file) void take(file)
      }}
    >
      <div className={styles.dropLine}>
        <label className={`btn ${styles.choose}`} htmlFor={id}>
          Bring in an inspection file
        </label>
        <input
          id={id}
          className="unseen"
          type="file"
          accept=".json,.zip,application/json,application/zip"
          onChange={(event) => {
            const file = event.target.files?.[0]
            event.target.value = ''
            if (file) void take(file)
          }}
        />
        <span className="note">A throwmark/inspection@1 file, or a bundle (zip) with its photographs. Or drop it here.</span>
      </div>
      {state.kind === 'sending' ? (
        <LongWork
          doing={state.share < 1 ? `Bringing in ${state.file}: ${Math.round(state.share * 100)} of 100 parts` : `Reading ${state.file}`}
          done={Math.round(state.share * 100)}
          of={100}
          onStop={() => stop.current?.abort()}
        />
      ) : state.kind === 'failed' ? (
        <Notice weighty urgent title={`${state.file} was not brought in. Nothing was changed.`}>
          {state.failure.kind === 'refused' && state.failure.faults.length > 0 ? (
            <ul className={styles.faults}>
              {state.failure.faults.map((fault) => (
                <li key={fault.path + fault.fault}>
                  <code>{fault.path}</code>: {fault.fault}; {fault.remedy}
                </li>
              ))}
            </ul>
          ) : (
            <p>{failureSentence(state.failure)}</p>
          )}
        </Notice>
      ) : state.kind === 'without-photos' ? (
        <Notice
          weighty
          title={`The shaft is on the bench; ${state.absent.length === 1 ? 'one photograph was' : `${state.absent.length} photographs were`} not in the file.`}
          acts={<ButtonLink href={`/shafts/${state.shaftId}/bench`}>Open it</ButtonLink>}
        >
          <p>
            Fits and marks stand; there is nothing to lay out for {state.absent.slice(0, 6).join(', ')}
            {state.absent.length > 6 ? ` and ${state.absent.length - 6} more` : ''} until you add the pictures on the bench.
          </p>
        </Notice>
      ) : null}
    </section>
  )
}

'use client'
/** A photograph's row without its picture: an imported file that named it and did not bring it along, or a server that cannot give it now. */
import { useRef, useState } from 'react'
import type { BenchStore } from '@/components/editor/bench-store'
import { apiUpload, failureSentence } from '@/components/ui/api-client'
import { Button } from '@/components/ui/button'
import { photoRowSchema } from '@/lib/model/rows'
import styles from './photo-strip.module.css'

export function PictureMissing({ photoRow, name, store }: { photoRow: string; name: string; store: BenchStore }) {
  const choose = useRef<HTMLInputElement>(null)
  const [fault, setFault] = useState<string | null>(null)
  const absent = store.state().document.files[photoRow] === null
  async function bring(file: File | undefined) {
    if (!file) return
    const version = store.state().known[photoRow]?.version
    const answer = await apiUpload(photoRowSchema, { method: 'PUT', path: `/api/photos/${photoRow}/file`, raw: file, version })
    if (answer.ok) await store.refresh()
    else setFault(failureSentence(answer.reason))
  }
  if (!absent)
    return (
      <p className={styles.missing} role="status">
        The picture cannot be fetched now. Its handles and marks are kept and measured.
      </p>
    )
  return (
    <div className={styles.missing} role="status">
      <p>{fault ?? `The picture ${name} did not come with the file. Its handles and marks are kept and measured.`}</p>
      <Button onPress={() => choose.current?.click()}>Bring the picture in</Button>
      <input
        ref={choose}
        className="unseen"
        type="file"
        accept="image/*,.heic,.heif,.tif,.tiff"
        tabIndex={-1}
        aria-label={`The picture ${name}`}
        onChange={(event) => void bring(event.target.files?.[0])}
      />
    </div>
  )
}

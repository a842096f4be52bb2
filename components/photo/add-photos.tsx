'use client'
/** Ways to bring photographs in: choose, take, or drop them anywhere on the journal. */
import { type ReactNode, useRef, useState } from 'react'
import { Button } from '@/components/ui/button'
import styles from './photo-strip.module.css'

const pictures = 'image/*,.heic,.heif,.tif,.tiff'

export function AddPhotos({
  onFiles,
  main,
}: {
  onFiles: (files: readonly File[]) => void
  /** The one next thing on the screen. */
  main: boolean
}) {
  const choose = useRef<HTMLInputElement>(null)
  const take = useRef<HTMLInputElement>(null)
  const given = (input: HTMLInputElement) => {
    onFiles([...(input.files ?? [])])
    input.value = ''
  }
  return (
    <span className={styles.add}>
      <Button kind={main ? 'main' : 'plain'} onPress={() => choose.current?.click()}>
        Add photographs
      </Button>
      <span className={styles.take}>
        <Button onPress={() => take.current?.click()}>Take one</Button>
      </span>
      <input
        ref={choose}
        className="unseen"
        type="file"
        accept={pictures}
        multiple
        tabIndex={-1}
        aria-label="Photographs to add"
        onChange={(event) => given(event.target)}
      />
      <input
        ref={take}
        className="unseen"
        type="file"
        accept="image/*"
        capture="environment"
        tabIndex={-1}
        aria-label="Photograph to take"
        onChange={(event) => given(event.target)}
      />
    </span>
  )
}

/** Takes photographs dropped on it. */
export function DropGround({
  onFiles,
  children,
  className,
}: {
  onFiles: (files: readonly File[]) => void
  children: ReactNode
  className?: string
}) {
  const [over, setOver] = useState(false)
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: a place to drop on; the same is done by the button "Add photographs"
    <div
      className={`${className ?? ''} ${over ? styles.over : ''}`}
      onDragOver={(event) => {
        if (!event.dataTransfer.types.includes('Files')) return
        event.preventDefault()
        setOver(true)
      }}
      onDragLeave={(event) => {
        if (!event.currentTarget.contains(event.relatedTarget as Node | null)) setOver(false)
      }}
      onDrop={(event) => {
        event.preventDefault()
        setOver(false)
        const files = [...event.dataTransfer.files]
        if (files.length > 0) onFiles(files)
      }}
    >
      {children}
    </div>
  )
}

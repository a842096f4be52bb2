'use client'
/** Photographs on their way, and those refused with their fault and remedy. */
import { Button } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import { Notice } from '@/components/ui/notice'
import type { PhotoUploads } from './photo-uploads'

export function UploadList({ uploads, count, stop, putAside }: PhotoUploads) {
  const sending = uploads.find((upload) => upload.state === 'sending')
  const refused = uploads.filter((upload) => upload.state === 'refused' || upload.state === 'stopped')
  return (
    <>
      {sending ? (
        <LongWork
          doing={`Taking in photograph ${count.done + 1} of ${count.of}: ${sending.name}`}
          done={count.done + sending.share}
          of={count.of}
          meanwhile="You can go on marking."
          onStop={stop}
        />
      ) : null}
      {refused.map((upload) => (
        <Notice
          key={upload.id}
          weighty
          title={`This picture was not taken in: ${upload.name}`}
          acts={<Button onPress={() => putAside(upload.id)}>Put this note aside</Button>}
        >
          <p>{upload.why}</p>
        </Notice>
      ))}
    </>
  )
}

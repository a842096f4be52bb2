'use client'
/** Photographs being laid beside each other, counted; and why that came to nothing. */
import { LongWork } from '@/components/ui/long-work'
import type { Aligned } from './aligned-photos'

export function AlignmentWork({ aligned, journal }: { aligned: Aligned; journal: string }) {
  const work = aligned.work.get(journal)
  const failed = aligned.failed.get(journal)
  if (work)
    return (
      <LongWork
        doing={`Laying photographs beside each other: ${work.done} of ${work.of}`}
        done={work.done}
        of={work.of}
        meanwhile="Those without an oil hole or witness mark wait for it; all else goes on."
      />
    )
  if (failed === undefined) return null
  return (
    <p className="note">
      The photographs could not be laid beside each other: {failed} Those without an oil hole or witness mark stay without their angle; a
      witness mark picked in them gives it.
    </p>
  )
}

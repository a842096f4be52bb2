'use client'
/** Photographs being laid beside each other, counted, stoppable; and why that came to nothing. */
import { useAlignments } from '@/components/editor/bench-context'
import { Button } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import type { Aligned } from './aligned-photos'

export function AlignmentWork({ aligned, journal }: { aligned: Aligned; journal: string }) {
  const alignments = useAlignments()
  const work = aligned.work.get(journal)
  const failed = aligned.failed.get(journal)
  if (work)
    return (
      <LongWork
        doing={`Laying photographs beside each other: ${work.done} of ${work.of}`}
        done={work.done}
        of={work.of}
        meanwhile="Those without an oil hole or witness mark wait for it; all else goes on."
        onStop={() => alignments?.wish({ journalId: journal, wish: 'stop' })}
      />
    )
  if (aligned.stopped.has(journal))
    return (
      <p className="note">
        Stopped: photographs without an oil hole or witness mark stay without their angle about the shaft.{' '}
        <Button kind="flat" onPress={() => alignments?.wish({ journalId: journal, wish: 'go-on' })}>
          Lay them beside each other
        </Button>
      </p>
    )
  if (failed === undefined) return null
  return (
    <p className="note">
      The photographs could not be laid beside each other: {failed} Those without an oil hole or witness mark stay without their angle; a
      witness mark picked in them gives it.
    </p>
  )
}

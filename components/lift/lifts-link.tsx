/** The way from the bench to the journal's flat lifts. */
import { ButtonLink } from '@/components/ui/button'

export function LiftsLink({ shaftId, journalId }: { shaftId: string; journalId: string }) {
  return (
    <p>
      <ButtonLink kind="flat" href={`/shafts/${shaftId}/lifts?journal=${encodeURIComponent(journalId)}`}>
        Tape lifts and rubbings
      </ButtonLink>
    </p>
  )
}

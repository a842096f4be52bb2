'use client'
/** What the program found in the picture, and what the person may do with it. */
import { Button } from '@/components/ui/button'
import type { ProposalState } from './use-proposal'
import styles from './proposal-ask.module.css'

/** Above this share of right ones a proposal is offered without a warning. */
const trustedShare = 0.8

export function ProposalAsk({
  state,
  onAccept,
  onReject,
  onTurn,
}: {
  state: ProposalState
  onAccept: () => void
  onReject: () => void
  onTurn: () => void
}) {
  if (state.kind === 'none') return null
  if (state.kind === 'looking')
    return (
      <p className={styles.proposal} role="status">
        Looking for the journal in the picture. You can set points meanwhile.
      </p>
    )
  if (state.kind === 'not-found')
    return (
      <p className={styles.proposal} role="status">
        The journal’s edges were not found in this picture. Set the points yourself.
      </p>
    )
  const { trust, senseSeen } = state.proposal
  return (
    <section className={styles.proposal} aria-label="Proposed handles">
      <p role="status">
        <b>Proposed from the picture, not used until you accept it.</b>{' '}
        {trust >= trustedShare
          ? 'Look whether the dashed lines lie on the edges.'
          : 'It may well be wrong: look closely whether the dashed lines lie on the edges.'}{' '}
        Drag a point to mend it: it is then your own.
        {senseSeen ? null : ' Which end is the front cannot be seen: it is taken to lie to the right or below.'}
      </p>
      <div className={styles.acts}>
        <Button kind={trust >= trustedShare ? 'main' : 'plain'} thumb onPress={onAccept}>
          Accept the proposal
        </Button>
        <Button thumb onPress={onReject}>
          Reject it
        </Button>
        {senseSeen ? null : (
          <Button thumb onPress={onTurn}>
            Front is the other end
          </Button>
        )}
      </div>
    </section>
  )
}

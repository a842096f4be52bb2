'use client'
/** The laying out of a rollout while it lasts: counted, stoppable; photographs whose pictures are not here; and which photograph each place is from. */
import { Button } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import styles from './rollout-work.module.css'
import type { RolloutState } from './use-journal-rollout'

export function RolloutWork({ rollout, word }: { rollout: RolloutState; word: string }) {
  const { work, stopped, missing, stop, goOn, handoversShown, showHandovers } = rollout
  return (
    <div className={styles.work}>
      {work ? (
        <LongWork
          doing={`Laying out ${word.toLowerCase()}: photograph ${Math.min(work.of, work.done + 1)} of ${work.of}`}
          done={work.done}
          of={work.of}
          meanwhile="You can go on marking; the rest fills in."
          onStop={stop}
        />
      ) : null}
      {stopped ? (
        <p className="note">
          Stopped: not all photographs are laid out.{' '}
          <Button kind="flat" onPress={goOn}>
            Lay out the rest
          </Button>
        </p>
      ) : null}
      {work === null && rollout.photos > 1 ? (
        <Button kind="flat" onPress={() => showHandovers(!handoversShown)}>
          {handoversShown ? 'Hide which photograph each place is from' : 'Show which photograph each place is from'}
        </Button>
      ) : null}
      {missing.length > 0 ? (
        <p className="note">Not laid out, because the picture is not here: {missing.join(', ')}. Its handles and marks still count.</p>
      ) : null}
    </div>
  )
}

/** The steps of a lift in a row: each with its name and how it stands. */
import { StepRow } from '@/components/photo/step-row'
import { type LiftStep, type LiftStepKey, standingWords } from './lift-words'

export function LiftStepRow({
  steps,
  here,
  fitted,
  onStep,
}: {
  steps: readonly LiftStep[]
  here: LiftStepKey
  fitted: boolean
  onStep: (key: LiftStepKey) => void
}) {
  const shown = steps.map((step) => ({
    key: step.key,
    name: step.name,
    word: standingWords(step, fitted),
    look: step.standing === 'enough' ? ('good' as const) : step.standing === 'look-again' ? step.standing : null,
  }))
  return <StepRow label="Steps of the lift" steps={shown} here={here} onStep={onStep} />
}

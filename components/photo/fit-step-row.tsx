/** The steps of a fit in a row: each with its name and how it stands. */
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import { type FitStep, standingOf } from './fit-steps'
import { standingWords } from './fit-words'
import { StepRow } from './step-row'

export function FitStepRow({
  steps,
  residuals,
  here,
  onStep,
}: {
  steps: readonly FitStep[]
  residuals: readonly HandleResidual[] | null
  here: string
  onStep: (key: string) => void
}) {
  const shown = steps.map((step) => {
    const { standing } = standingOf(step, residuals)
    const word = standing === 'empty' && step.optional ? 'if seen' : standingWords[standing]
    return { key: step.key, name: step.name, word, look: standing === 'good' || standing === 'look-again' ? standing : null }
  })
  return <StepRow label="Steps of the fit" steps={shown} here={here} onStep={onStep} />
}

'use client'
/** What the fit's uncertainty is made of, and the further handle or the other photograph that would shrink it most, with the way to it. */
import { useMemo } from 'react'
import { Button } from '@/components/ui/button'
import { useUnits } from '@/components/ui/preferences'
import type { Units } from '@/lib/model/inspection'
import type { Journal } from '@/lib/model/journal'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { type ExplainedQuantity, explainFit, type HelpfulHandle } from '@/lib/photo/explain-fit'
import type { FitStep } from './fit-steps'
import { angleSpread, lengthSpread } from './fit-words'

export function FitExplained({
  journal,
  fit,
  steps,
  onStep,
}: {
  journal: Journal
  fit: Fit
  steps: readonly FitStep[]
  onStep: (key: string) => void
}) {
  const units = useUnits()
  const lines = useMemo(() => explainFit(journal, fit).flatMap((one) => lineOf(one, steps, units) ?? []), [journal, fit, steps, units])
  const way = lines.find((line) => line.step)?.step
  return (
    <>
      {lines.map(({ words }) => (
        <p key={words} className="soft">
          {words.replace(/± (\S+)( (?=mm|in))?/g, (_, value, unit) => `±\u00a0${value}${unit ? '\u00a0' : ''}`)}
        </p>
      ))}
      {way ? (
        <div>
          <Button onPress={() => onStep(way.key)}>Add to the {way.name.toLowerCase()}</Button>
        </div>
      ) : null}
    </>
  )
}

/** A handle that takes off less than this share is not worth the walk. */
const worthShare = 0.1

/** "Angle ± 0.42°: mostly your picks. Five more points on the rear ring would bring it to ± 0.30°." Null: of no use to a person. */
export function lineOf(
  { quantity, sigma, parts, help, photos }: ExplainedQuantity,
  steps: readonly FitStep[],
  units: Units,
): { words: string; step: FitStep | null } | null {
  if (quantity === 'around') return null
  const spread = (value: number) => (quantity === 'angle' ? angleSpread(value) : lengthSpread(value, units))
  const said = `${quantity === 'angle' ? 'Angle' : 'Distance to the fillet'} ${spread(sigma)}: ${causeWords(parts)}.`
  const worth = (one: number) => one <= sigma * (1 - worthShare) && spread(one) !== spread(sigma)
  const handle = help
    .map((one) => ({ ...one, step: stepFor(one.add, steps) }))
    // a hole has one middle: set, it can be moved but not set again
    .find(({ add, step }) => step && !(add === 'oil-hole' && step.count > 0))
  const [photo] = photos
  if (photo && worth(photo.sigma) && photo.sigma < (handle?.sigma ?? sigma) * (1 - worthShare)) {
    return {
      words: `${said} A photograph ${standpointWords(photo.leanDeg)}, the journal filling the picture, would have ${spread(photo.sigma)}.`,
      step: null,
    }
  }
  if (handle?.step && worth(handle.sigma)) {
    return {
      words: `${said} ${moreOf(handle.add, handle.points, handle.step)} would bring it to ${spread(handle.sigma)}.`,
      step: handle.step,
    }
  }
  return { words: `${said} More handles would hardly change that.`, step: null }
}

function standpointWords(leanDeg: number): string {
  return leanDeg === 0 ? 'from square on' : `leaning ${Math.abs(leanDeg)}° towards the ${leanDeg > 0 ? 'rear' : 'front'}`
}

const causes: Record<ExplainedQuantity['parts'][number]['from'], string> = {
  picks: 'your picks',
  focal: 'the focal length, which is not known exactly',
  k1: 'the bend of the lens, which is not known',
  radius: 'the fillet radius with its ± from the set-up',
  roll: 'the angle about the shaft',
}

function causeWords(parts: ExplainedQuantity['parts']): string {
  const [first, second] = [...parts].sort((a, b) => b.sigma - a.sigma)
  if (!first) return causes.picks
  const all = parts.reduce((sum, part) => sum + part.sigma ** 2, 0)
  if (!second || first.sigma ** 2 > 0.7 * all) return `mostly ${causes[first.from]}`
  return `${causes[first.from]}, and ${causes[second.from]}`
}

function stepFor(add: HelpfulHandle, steps: readonly FitStep[]): FitStep | undefined {
  const ring = (end: 'front' | 'rear') =>
    steps.find(({ key }) => key === `ring-${end}-fillet`) ?? steps.find(({ key }) => key === `ring-${end}-cheek`)
  switch (add) {
    case 'first-side':
      return steps.find(({ key }) => key === 'side-0')
    case 'second-side':
      return steps.find(({ key }) => key === 'side-1')
    case 'front-ring':
      return ring('front')
    case 'rear-ring':
      return ring('rear')
    case 'oil-hole': {
      const holes = steps.filter(({ key }) => key.startsWith('hole-'))
      return holes.find(({ count }) => count === 0) ?? holes[0]
    }
    case 'witness-mark':
      return steps.find(({ key }) => key === 'clock')
  }
}

const counts = ['No', 'One', 'Two', 'Three', 'Four', 'Five']

function moreOf(add: HelpfulHandle, points: number, step: FitStep): string {
  const name = step.name.toLowerCase()
  if (add === 'oil-hole') return `The ${name}, where it is seen,`
  if (add === 'witness-mark') return 'A witness mark'
  return `${counts[points] ?? points} more ${points === 1 ? 'point' : 'points'} on the ${name}`
}

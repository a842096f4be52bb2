'use client'
/** What the step asks, what the fit says to it, and the one next thing to press. */
import type { ReactNode } from 'react'
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import type { HandlesState } from '@/components/editor/tools/handles-tool'
import { Button } from '@/components/ui/button'
import { useUnits } from '@/components/ui/preferences'
import { Stops } from '@/components/ui/stops'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import styles from './fit-bench.module.css'
import type { FitResult } from './fit-cache'
import { FitExplained } from './fit-explained'
import { clockKey, type FitPlaces, type FitStep, inkedKey, standingOf } from './fit-steps'
import { fitFailureWords, fitWarningWords, lookAgainWords } from './fit-words'
import { StripAsk } from './strip-ask'
import { ClockFields, InkedRingField } from './typed-places'

export function FitAsk({
  step,
  steps,
  fit,
  row,
  journal,
  tool,
  early,
  places,
  onPlaces,
  store,
  onStep,
  onDrop,
  onDone,
  doneWord,
  above,
  waits,
}: {
  step: FitStep
  steps: readonly FitStep[]
  fit: FitResult
  row: Row<Photo>
  journal: Journal
  tool: HandlesState
  /** The picture was pressed before the place was typed. */
  early: boolean
  places: FitPlaces
  onPlaces: (places: FitPlaces) => void
  store: BenchStore
  onStep: (key: string) => void
  onDrop: () => void
  onDone: () => void
  doneWord: string
  /** What stands before the step's own words. */
  above: ReactNode
  /** What stands above is to be answered first. */
  waits: boolean
}) {
  // a printed strip that lies where picks say leaves nothing to ask for
  const settled = fit.ok && fit.value.strip !== undefined && fit.value.rollKnown && fit.value.slideKnown
  const next = settled ? undefined : steps[steps.indexOf(step) + 1]
  return (
    <div className={styles.low}>
      {above}
      <div className={styles.ask}>
        <StripAsk row={row} journal={journal} fit={fit} store={store} />
        {settled ? (
          <p className="soft">To pick all the same: {step.ask.charAt(0).toLowerCase() + step.ask.slice(1)}</p>
        ) : (
          <p className={styles.say}>{step.ask}</p>
        )}
        {step.key === clockKey ? (
          <ClockFields row={row} journal={journal} tool={tool} places={places} onPlaces={onPlaces} store={store} />
        ) : step.key === inkedKey ? (
          <InkedRingField row={row} journal={journal} places={places} onPlaces={onPlaces} store={store} />
        ) : null}
        {early ? (
          <p role="status">
            <b>No point was set.</b> Type first where {step.key === clockKey ? 'the mark' : 'the ring'} stands: the point then stands for
            that place.
          </p>
        ) : null}
        <EdgeStops step={step} journal={journal} places={places} onPlaces={onPlaces} onStep={onStep} />
        <FitVerdict step={step} steps={steps} fit={fit} photo={row.value} atEdge={tool.atEdge} />
      </div>
      <div className={styles.acts}>
        <Button notYet={tool.chosen ? undefined : 'Choose a point to drop'} onPress={onDrop}>
          Drop point
        </Button>
        <Button kind={waits ? 'plain' : 'main'} thumb onPress={() => (next ? onStep(next.key) : onDone())}>
          {next ? `Next: ${next.name.toLowerCase()}` : doneWord}
        </Button>
      </div>
      {fit.ok && tool.draft === null && fit.value.residualsWithinRange ? (
        <div className={styles.explained}>
          <FitExplained journal={journal} fit={fit.value} steps={steps} onStep={onStep} />
        </div>
      ) : null}
      <p className="note">
        You can come back to any step. A press on the picture sets a point; drag it to move it. It catches the edge beneath it; hold Alt, or
        rest a finger, to place it freely.
      </p>
    </div>
  )
}

/** A fillet's beginning is often hard to see; its other edge, at the cheek, serves as well. */
function EdgeStops({
  step,
  journal,
  places,
  onPlaces,
  onStep,
}: {
  step: FitStep
  journal: Journal
  places: FitPlaces
  onPlaces: (places: FitPlaces) => void
  onStep: (key: string) => void
}) {
  if (step.sets?.part !== 'ring') return null
  const { at } = step.sets
  const end = at === places.rear ? 'rear' : at === places.front ? 'front' : null
  if (end === null || journal.fillets[end].form !== 'tangent') return null
  const choose = (edge: 'fillet' | 'cheek') => {
    onPlaces({ ...places, [end]: `${end}-${edge}` })
    onStep(`ring-${end}-${edge}`)
  }
  return (
    <Stops
      label={`Edge that is picked at the ${end}`}
      value={String(at).endsWith('cheek') ? 'cheek' : 'fillet'}
      onChange={choose}
      stops={[
        { value: 'fillet', label: 'Fillet begins' },
        { value: 'cheek', label: 'At the cheek' },
      ]}
    />
  )
}

function FitVerdict({
  step,
  steps,
  fit,
  photo,
  atEdge,
}: {
  step: FitStep
  steps: readonly FitStep[]
  fit: FitResult
  photo: Photo
  atEdge: boolean
}) {
  const units = useUnits()
  if (atEdge)
    return (
      <p role="status">
        <b>The point has left the photograph.</b> It is held at the edge; bring it back onto the journal, or drop it.
      </p>
    )
  if (!fit.ok) return <p role="status">{fitFailureWords(fit.reason)}</p>
  const { residuals, trusted, warnings } = fit.value
  const { off, standing } = standingOf(step, residuals)
  const others = warnings.filter((warning) => warning.code !== 'handle-off')
  return (
    <div role="status">
      {standing === 'look-again' ? (
        <p>
          <b className={styles.look}>Look again:</b> {lookAgainWords(off, residuals, units)}
        </p>
      ) : standing === 'more' ? (
        <p>
          <b>More points:</b> {step.fewest - step.count} more would let them check each other.
        </p>
      ) : null}
      {trusted ? (
        <p className="soft">The fit is good ({fit.value.rmsPx.toFixed(1)} px): marks in this photograph are judged by it.</p>
      ) : null}
      {others.map((warning) => (
        <p key={warning.code + warning.text}>{fitWarningWords(warning, fit.value, steps, photo.handles, units)}</p>
      ))}
    </div>
  )
}

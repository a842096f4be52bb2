'use client'
/** What the step asks, what the fit says to it, and the one next thing to press. */
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import type { HandlesState } from '@/components/editor/tools/handles-tool'
import { AngleField } from '@/components/ui/angle-field'
import { Button } from '@/components/ui/button'
import { LengthField } from '@/components/ui/length-field'
import { useUnits } from '@/components/ui/preferences'
import { Stops } from '@/components/ui/stops'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import styles from './fit-bench.module.css'
import type { FitResult } from './fit-cache'
import { type FitPlaces, type FitStep, standingOf } from './fit-steps'
import { fitFailureWords, lookAgainWords } from './fit-words'

type Clock = FitPlaces['clock']

export function FitAsk({
  step,
  steps,
  fit,
  row,
  journal,
  tool,
  places,
  onPlaces,
  store,
  onStep,
  onDrop,
  onDone,
  doneWord,
}: {
  step: FitStep
  steps: readonly FitStep[]
  fit: FitResult
  row: Row<Photo>
  journal: Journal
  tool: HandlesState
  places: FitPlaces
  onPlaces: (places: FitPlaces) => void
  store: BenchStore
  onStep: (key: string) => void
  onDrop: () => void
  onDone: () => void
  doneWord: string
}) {
  const next = steps[steps.indexOf(step) + 1]
  return (
    <div className={styles.low}>
      <div className={styles.ask}>
        <p className={styles.say}>{step.ask}</p>
        {step.sets.part === 'clock' ? (
          <ClockFields
            row={row}
            journal={journal}
            tool={tool}
            clock={places.clock}
            onClock={(clock) => onPlaces({ ...places, clock })}
            store={store}
          />
        ) : null}
        <EdgeStops step={step} journal={journal} places={places} onPlaces={onPlaces} onStep={onStep} />
        <FitVerdict step={step} fit={fit} atEdge={tool.atEdge} />
      </div>
      <div className={styles.acts}>
        <Button notYet={tool.chosen ? undefined : 'Choose a point to drop'} onPress={onDrop}>
          Drop point
        </Button>
        <Button kind="main" thumb onPress={() => (next ? onStep(next.key) : onDone())}>
          {next ? `Next: ${next.name.toLowerCase()}` : doneWord}
        </Button>
      </div>
      <p className="note">You can come back to any step. A press on the picture sets a point; drag it to move it.</p>
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
  if (step.sets.part !== 'ring') return null
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

function FitVerdict({ step, fit, atEdge }: { step: FitStep; fit: FitResult; atEdge: boolean }) {
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
        <p key={warning.code + warning.text}>{warning.text}</p>
      ))}
    </div>
  )
}

/** Where the witness mark stands: of the chosen one, or of the next to be set. */
function ClockFields({
  row,
  journal,
  tool,
  clock,
  onClock,
  store,
}: {
  row: Row<Photo>
  journal: Journal
  tool: HandlesState
  clock: Clock
  onClock: (clock: Clock) => void
  store: BenchStore
}) {
  const index = tool.chosen?.part === 'clock' ? tool.chosen.index : null
  const set = index === null ? undefined : row.value.handles.clock[index]
  const shown = set ?? clock
  const change = (part: Partial<Clock>) => {
    onClock({ ...clock, ...part })
    if (!set) return
    const { handles } = row.value
    const after = {
      ...row.value,
      handles: { ...handles, clock: handles.clock.map((one, at) => (at === index ? { ...one, ...part } : one)) },
    }
    store.perform('Place a witness mark', [{ kind: 'photo', id: row.id, before: row.value, after }])
  }
  const inside = shown.axial >= 0 && shown.axial <= journal.width
  return (
    <div className={styles.fields}>
      <AngleField
        key={`a${index}`}
        label="Its angle"
        value={shown.angleDeg}
        onChange={(angleDeg) => angleDeg !== null && change({ angleDeg })}
      />
      <LengthField
        key={`l${index}`}
        label="From the front cheek"
        value={shown.axial}
        positive={false}
        fault={inside ? null : 'This lies beyond a cheek. Type the distance along the journal.'}
        onChange={(axial) => axial !== null && axial >= 0 && axial <= journal.width && change({ axial })}
      />
    </div>
  )
}

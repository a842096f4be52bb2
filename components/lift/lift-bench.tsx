'use client'
/** One lift: its picture with the points tapped in it, what each step asks for, marks drawn on it; below, how it lies on the map. */
import { type KeyboardEvent, useMemo, useRef, useState } from 'react'
import { type JournalModel, benchMark } from '@/components/editor/bench-model'
import type { BenchStore } from '@/components/editor/bench-store'
import { nextMarkName } from '@/components/editor/mark-names'
import { useNarrow } from '@/components/editor/use-narrow'
import type { PointerTarget } from '@/components/map/picture-pointer'
import { PictureStage } from '@/components/map/picture-stage'
import { useSteelColours } from '@/components/map/steel-colours'
import { useJournalRollout } from '@/components/map/use-journal-rollout'
import type { View } from '@/components/map/view'
import { usePhotoPicture } from '@/components/photo/photo-picture'
import { useUnits } from '@/components/ui/preferences'
import { journalWord } from '@/components/ui/shaft-words'
import type { Lift } from '@/lib/model/lift'
import { markSchema } from '@/lib/model/mark'
import type { Pixel } from '@/lib/model/photo'
import type { LiftRow } from '@/lib/model/rows'
import { fitLift, liftPickSigmaPx } from '@/lib/photo/flat-lift'
import { liftMark, liftNote } from '@/lib/photo/lift-mark'
import styles from '../photo/fit-bench.module.css'
import own from './lift.module.css'
import { LiftAsk } from './lift-ask'
import { LiftGround } from './lift-ground'
import { LiftMarkActs } from './lift-mark-acts'
import { LiftOnMap } from './lift-on-map'
import { LiftLines, LiftMarks, LiftPoints } from './lift-overlay'
import { laidPicture } from './lift-picture'
import { LiftPointList } from './lift-point-list'
import { LiftStepRow } from './lift-step-row'
import {
  allLiftPoints,
  type LiftToolEvent,
  type LiftPointRef,
  type LiftWork,
  nearestLiftPoint,
  noPoint,
  pixelOf,
  stepLiftTool,
} from './lift-tool'
import { liftMarkFailureSentence, type LiftStepKey, liftSteps } from './lift-words'

export function LiftBench({
  row,
  model,
  store,
  onLift,
}: {
  row: LiftRow
  model: JournalModel
  store: BenchStore
  onLift: (lift: Lift) => void
}) {
  const colours = useSteelColours()
  const units = useUnits()
  const narrow = useNarrow()
  // one begins with what is still to do, and goes on when one says so: never while a distance is being typed
  const [stepKey, setStepKey] = useState(() => firstStep(row.lift, model))
  const [tool, setTool] = useState(noPoint)
  const inHand = useRef(noPoint)
  const [outline, setOutline] = useState<readonly Pixel[]>([])
  const [fault, setFault] = useState<string | null>(null)
  const work: LiftWork = tool.draft ?? { lift: row.lift, outline }
  const latest = useRef(work)
  latest.current = { lift: row.lift, outline }
  const fit = useMemo(() => fitLift(model.surface, work.lift), [model.surface, work.lift])
  const fitted = fit.ok ? fit.value : null
  const steps = liftSteps(work.lift, fitted)
  const step = steps.find(({ key }) => key === stepKey) ?? steps[0]
  const picture = usePhotoPicture(row.id, row.lift.width, row.file.sha256, 'lifts')
  const rollout = useJournalRollout(model)
  const marks = useMemo(() => model.marks.map((mark) => benchMark(model, mark, false, false, null)), [model])
  // what is in the hand moves on the picture; on the map it lies where it was let go
  const kept = useMemo(() => fitLift(model.surface, row.lift), [model.surface, row.lift])
  const laid = useMemo(
    () => (picture.image && kept.ok ? laidPicture(picture.image, row.lift, kept.value) : null),
    [picture.image, kept, row.lift],
  )

  const send = (event: LiftToolEvent) => {
    // a move and the letting go may come before the next drawing: each goes on from what the last one left
    const next = stepLiftTool(inHand.current, event, latest.current, step.key)
    inHand.current = next.tool
    setTool(next.tool)
    if (!next.kept) return
    latest.current = next.kept
    setOutline(next.kept.outline)
    setFault(null)
    if (next.kept.lift !== row.lift) onLift(next.kept.lift)
  }
  const choose = (point: LiftPointRef | null) => {
    if (point) setStepKey(point.list)
    send({ type: 'choose', point })
  }
  const near = (at: Pixel, reach: number) => nearestLiftPoint(latest.current, at, reach)
  const target: PointerTarget = {
    canGrab: ({ x, y }, reach) => {
      const ref = near([x, y], reach)
      const pixel = ref && pixelOf(latest.current, ref)
      return pixel ? { x: pixel[0], y: pixel[1] } : null
    },
    press: ({ x, y }, reach) => {
      const ref = near([x, y], reach)
      if (ref) setStepKey(ref.list)
      send({ type: 'press', at: [x, y], near: ref })
    },
    move: ({ x, y }) => send({ type: 'move', at: [x, y] }),
    release: () => send({ type: 'release' }),
    cancel: () => send({ type: 'give-up' }),
    hover: () => {},
  }
  const keep = (shape: 'line' | 'area') => {
    if (!fitted) return
    const made = liftMark(fitted, outline)
    if (!made.ok) return setFault(liftMarkFailureSentence(made.reason, units))
    const { document } = store.state()
    const journalId = model.row.value.id
    const after = markSchema.parse({ id: nextMarkName(document, journalId), journalId, shape, ...made.value, note: liftNote(row.lift) })
    store.perform(`Draw mark ${after.id} on a lift`, [{ kind: 'mark', id: crypto.randomUUID(), before: null, after }])
    setOutline([])
    send({ type: 'choose', point: null })
  }
  const ground = (view: View) => <LiftGround lift={row.lift} image={picture.image} view={view} colours={colours} />
  const scene = (view: View) => (
    <>
      {fitted ? <LiftLines work={work} fit={fitted} view={view} colours={colours} /> : null}
      {fitted ? <LiftMarks marks={marks} fit={fitted} work={work} view={view} colours={colours} /> : null}
      <LiftPoints work={work} here={step.key} chosen={tool.chosen} view={view} colours={colours} />
    </>
  )
  const word = journalWord(model.row.value).toLowerCase()
  const onKey = (event: KeyboardEvent) => liftKey(event, latest.current, tool.chosen, send, choose, () => keep('line'))
  const addInMiddle = () => {
    send({ type: 'press', at: [row.lift.width / 2, row.lift.height / 2], near: null })
    send({ type: 'release' })
  }
  return (
    <>
      <div className={own.tall}>
        <div className={styles.frame}>
          <div className={styles.bench}>
            <LiftStepRow steps={steps} here={step.key} fitted={fitted !== null} onStep={setStepKey} />
            <div className={`${styles.picture} ${own.picture}`}>
              <PictureStage
                label={`Lift ${row.lift.id} with its points. Tab goes through them.`}
                content={row.lift}
                ground={ground}
                scene={scene}
                target={target}
                onNearness={picture.onNearness}
                homeKey={row.id}
                onKey={onKey}
                magnify
              />
              {picture.failed ? <p className={own.failed}>The picture of this lift is not here any more. Its points still count.</p> : null}
            </div>
            <LiftAsk
              lift={work.lift}
              surface={model.surface}
              step={step}
              steps={steps}
              fit={fit}
              chosen={tool.chosen}
              onLift={onLift}
              onStep={setStepKey}
              onChoose={choose}
              onDrop={() => send({ type: 'remove' })}
              drawing={
                <LiftMarkActs
                  outline={outline}
                  chosen={tool.chosen !== null}
                  ready={fitted !== null}
                  fault={fault}
                  model={model}
                  note={liftNote(row.lift)}
                  onKeep={keep}
                  onDrop={() => send({ type: 'remove' })}
                  onGiveUp={() => {
                    setOutline([])
                    setFault(null)
                    send({ type: 'choose', point: null })
                  }}
                />
              }
            />
            <LiftPointList work={work} step={step} chosen={tool.chosen} onChoose={choose} onAdd={addInMiddle} onKey={onKey} />
          </div>
        </div>
      </div>
      <section aria-label="The lift on the map" className={own.below}>
        <h2>{laid ? `On the map of ${word}` : `The map of ${word}`}</h2>
        {laid ? null : <p className="note">Once known points, both edges and the witness line are there, the lift comes to lie on it.</p>}
        <div
          className={own.map}
          style={narrow ? undefined : { aspectRatio: `${2 * Math.PI * model.surface.radius} / ${model.surface.totalS}` }}
        >
          <LiftOnMap
            model={model}
            lay={narrow ? 'front-left' : 'rear-up'}
            rollout={rollout}
            marks={marks}
            laid={laid}
            label={`Rollout of ${word} with the lift half through`}
          />
        </div>
        <p className="note">Drawn by a person. This is no crack test. A lift shows the cylinder alone, never the fillets.</p>
      </section>
    </>
  )
}

function firstStep(lift: Lift, { surface }: JournalModel): LiftStepKey {
  const fit = fitLift(surface, lift)
  return liftSteps(lift, fit.ok ? fit.value : null).find(({ standing }) => standing !== 'enough')?.key ?? 'mark'
}

function liftKey(
  event: KeyboardEvent,
  work: LiftWork,
  chosen: LiftPointRef | null,
  send: (event: LiftToolEvent) => void,
  choose: (point: LiftPointRef | null) => void,
  keep: () => void,
) {
  const arrows: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }
  const arrow = arrows[event.key]
  const far = (work.lift.pickSigmaPx ?? liftPickSigmaPx(work.lift.width)) * (event.shiftKey ? 10 : 1)
  if (arrow && chosen) send({ type: 'nudge', right: arrow[0] * far, down: arrow[1] * far })
  else if (event.key === 'Tab') {
    const all = allLiftPoints(work)
    const place = all.findIndex((ref) => ref.list === chosen?.list && ref.index === chosen.index)
    const next = all[event.shiftKey ? (place < 0 ? all.length - 1 : place - 1) : place + 1]
    choose(next ?? null)
    // past the last point Tab leaves the picture
    if (!next) return
  } else if (event.key === 'Escape') send({ type: 'give-up' })
  else if (event.key === 'Enter' && work.outline.length > 1) keep()
  else if ((event.key === 'Delete' || event.key === 'Backspace') && chosen) send({ type: 'remove' })
  else return
  event.preventDefault()
}

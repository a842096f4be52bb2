'use client'
/** Fitting a photograph: the steps, the picture with its handles and the fit drawn live, what each step says, and every handle as a button. */
import { type KeyboardEvent, useCallback, useMemo, useRef, useState } from 'react'
import { useAligned } from '@/components/editor/bench-context'
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import { allHandles, type HandleRef, type HandleStep, handlePixel } from '@/components/editor/tools/handles'
import { type HandlesEvent, noHandle, stepHandles } from '@/components/editor/tools/handles-tool'
import type { PointerTarget } from '@/components/map/picture-pointer'
import { PictureStage } from '@/components/map/picture-stage'
import { useSteelColours } from '@/components/map/steel-colours'
import { partView, type ScreenPoint, type Size, type View, wholeView } from '@/components/map/view'
import { useUnits } from '@/components/ui/preferences'
import type { Journal } from '@/lib/model/journal'
import { defaultPickSigmaPx, type Handles, type Photo } from '@/lib/model/photo'
import type { HandleResidual } from '@/lib/photo/fit-residuals'
import type { LensData } from '@/lib/photo/lens-priors'
import styles from './fit-bench.module.css'
import { FitAsk } from './fit-ask'
import { journalFits } from './fit-cache'
import { FitStepRow } from './fit-step-row'
import { editedHandle, type FitPlaces, type FitStep, fitSteps, isOff, stepOfHandle } from './fit-steps'
import { HandleList } from './handle-list'
import { HandlePoints, type ShownHandle } from './handle-points'
import { useLiveFit } from './live-fit'
import { FitOverlay } from './fit-overlay'
import { PhotoGround } from './photo-ground'
import { journalBox } from './surface-curves'
import { usePhotoPicture } from './photo-picture'
import { PictureMissing } from './picture-missing'
import { ProposalAsk } from './proposal-ask'
import { ProposedHandles } from './proposed-handles'
import { SnapSign } from './snap-sign'
import { usePracticeFits } from './use-practice-fits'
import { useProposal, withProposed } from './use-proposal'
import { useSnap } from './use-snap'
import { StripCodes } from './strip-codes'

export function FitBench({
  row,
  journal,
  lens,
  store,
  onDone,
  doneWord,
}: {
  row: Row<Photo>
  journal: Journal
  lens: LensData | null
  store: BenchStore
  onDone: () => void
  /** The last step's button: "Back to pin 3". */
  doneWord: string
}) {
  const photo = row.value
  const colours = useSteelColours()
  const units = useUnits()
  const [tool, setTool] = useState(noHandle)
  const inHand = useRef(noHandle)
  const [places, setPlaces] = useState<FitPlaces>({
    clock: { angleDeg: null, axial: journal.width / 2 },
    inked: photo.handles.rings.map((ring) => ring.at).find((at) => typeof at === 'number') ?? null,
    rear: 'rear-fillet',
    front: 'front-fillet',
  })
  const handles = tool.draft ?? photo.handles
  const aligned = useAligned()
  const settled = photo.handles.strip === null ? null : (journalFits(store.state().document, journal, aligned).get(row.id) ?? null)
  const fit = useLiveFit(journal, photo, lens, tool.draft, settled)
  const steps = useMemo(() => fitSteps(journal, handles, places, units), [journal, handles, places, units])
  /** A press came before the place was typed that the point stands for. */
  const [early, setEarly] = useState(false)
  const [stepKey, setStepKey] = useState<string | null>(null)
  const step = steps.find((one) => one.key === stepKey) ?? steps.find((one) => one.count < one.fewest && !one.optional) ?? steps[0]
  const sha256 = store.state().document.files[row.id]?.sha256 ?? ''
  const picture = usePhotoPicture(row.id, photo.width, sha256)
  // where the printed strip fits it, nothing else is looked for
  const proposal = useProposal(row.id, photo, journal, lens, fit.ok && fit.value.strip ? '' : sha256)
  const proposed = proposal.state.kind === 'found' ? proposal.state.proposal : null
  usePracticeFits()
  const snap = useSnap(photo, journal, picture.image, fit)
  const residuals = fit.ok ? fit.value.residuals : null
  // where one begins stays put while the fit moves
  const [box] = useState(() => (fit.ok ? journalBox(fit.value.surface, fit.value.camera) : null))
  const home = useCallback(
    (content: Size, frame: Size) =>
      box && frame.width > 0 ? partView(box, Math.max(box.width, box.height) * 0.12, frame) : wholeView(content, frame),
    [box],
  )
  if (!step) return null

  const send = (event: HandlesEvent, sets: HandleStep | null = step.sets) => {
    // a move and the letting go may come before the next drawing: each goes on from what the last one left
    const next = stepHandles(inHand.current, event, row, sets)
    inHand.current = next.state
    setTool(next.state)
    store.perform(next.words, next.edits)
  }
  const near = (at: ScreenPoint, reach: number) => nearestHandle(photo.handles, at, reach)
  const heldAt = (at: ScreenPoint): [number, number] => {
    const { held, draft } = inHand.current
    const caught = snap.place(at, held, draft ?? photo.handles, (raw) => send({ type: 'move', at: [raw.x, raw.y] }))
    return [caught.x, caught.y]
  }
  const target: PointerTarget = {
    canGrab: (at, reach) => near(at, reach)?.at ?? (proposed && nearestHandle(proposed.handles, at, reach)?.at) ?? null,
    press: (at, reach, byTouch) => {
      const handle = near(at, reach)?.ref ?? null
      // a proposed point that is taken hold of becomes the person's own
      const taken = !handle && proposed ? (nearestHandle(proposed.handles, at, reach)?.ref ?? null) : null
      const own = handle ? stepOfHandle(steps, photo.handles, handle) : taken && proposed && stepOfHandle(steps, proposed.handles, taken)
      if (own) setStepKey(own.key)
      if (taken) proposal.takeOut(taken)
      const sets = taken && own ? own.sets : step.sets
      setEarly(!handle && sets === null)
      snap.begin(reach, byTouch)
      send({ type: 'press', at: [at.x, at.y], handle }, sets)
      // a new point catches at once; one taken hold of stays until it is moved
      if (!handle && inHand.current.held) send({ type: 'move', at: heldAt(at) })
    },
    move: (at) => send({ type: 'move', at: heldAt(at) }),
    release: () => {
      snap.end()
      send({ type: 'release' })
    },
    cancel: () => {
      snap.end()
      send({ type: 'give-up' })
    },
    hover: () => {},
  }
  const accept = () => {
    if (!proposed) return
    const handles = withProposed(photo.handles, proposed.handles)
    store.perform('Accept the proposal', [{ kind: 'photo', id: row.id, before: photo, after: { ...photo, handles } }])
    proposal.putAway()
  }
  const shown = shownHandles(handles, residuals, step.key, steps)
  const choose = (handle: HandleRef | null) => {
    const own = handle && stepOfHandle(steps, photo.handles, handle)
    if (own) setStepKey(own.key)
    send({ type: 'choose', handle })
  }
  const onKey = (event: KeyboardEvent<HTMLDivElement>) => handleKey(event, photo, tool.chosen, send, choose)
  const ground = (view: View) => (
    <PhotoGround photo={photo} image={picture.image} journal={journal} fit={null} view={view} colours={colours} />
  )
  const scene = (view: View) => (
    <>
      {fit.ok ? <FitOverlay journal={journal} fit={fit.value} view={view} colours={colours} bands={false} /> : null}
      {fit.ok && fit.value.strip ? <StripCodes strip={fit.value.strip} view={view} colours={colours} /> : null}
      {proposed ? <ProposedHandles proposal={proposed} journal={journal} photo={photo} lens={lens} view={view} colours={colours} /> : null}
      <HandlePoints handles={handles} shown={shown} chosen={tool.chosen} view={view} colours={colours} />
      <SnapSign caught={snap.caught} view={view} colours={colours} />
    </>
  )
  return (
    <div className={styles.frame}>
      <div className={styles.bench}>
        <FitStepRow steps={steps} residuals={residuals} here={step.key} onStep={setStepKey} />
        <div className={styles.picture}>
          <PictureStage
            label={`Photograph ${photo.id} with its handles. Tab goes through the handles below.`}
            content={photo}
            ground={ground}
            scene={scene}
            target={target}
            home={home}
            onNearness={picture.onNearness}
            homeKey={row.id}
            onKey={onKey}
            magnify
          />
          {picture.failed ? <PictureMissing photoRow={row.id} name={photo.file ?? photo.id} store={store} /> : null}
        </div>
        <FitAsk
          step={step}
          steps={steps}
          fit={fit}
          row={row}
          journal={journal}
          tool={tool}
          early={early && step.sets === null}
          places={places}
          onPlaces={setPlaces}
          store={store}
          onStep={setStepKey}
          onDrop={() => send({ type: 'remove' })}
          onDone={onDone}
          doneWord={doneWord}
          waits={proposed !== null}
          above={<ProposalAsk state={proposal.state} onAccept={accept} onReject={proposal.putAway} onTurn={proposal.turnEnds} />}
        />
        <HandleList handles={photo.handles} steps={steps} residuals={residuals} chosen={tool.chosen} onChoose={choose} onKey={onKey} />
      </div>
    </div>
  )
}

function nearestHandle(handles: Handles, at: ScreenPoint, reach: number): { ref: HandleRef; at: ScreenPoint } | null {
  let best: { ref: HandleRef; at: ScreenPoint; distance: number } | null = null
  for (const ref of allHandles(handles)) {
    const pixel = handlePixel(handles, ref)
    if (!pixel) continue
    const distance = Math.hypot(pixel[0] - at.x, pixel[1] - at.y)
    if (distance <= reach && (!best || distance < best.distance)) best = { ref, at: { x: pixel[0], y: pixel[1] }, distance }
  }
  return best
}

function shownHandles(
  handles: Handles,
  residuals: readonly HandleResidual[] | null,
  here: string,
  steps: readonly FitStep[],
): ShownHandle[] {
  const byHandle = new Map((residuals ?? []).map((residual) => [JSON.stringify(editedHandle(residual.handle)), residual]))
  return allHandles(handles).map((ref) => {
    const residual = byHandle.get(JSON.stringify(ref))
    return {
      ref,
      nearest: residual?.nearest ?? null,
      off: residual ? isOff(residual) : false,
      inStep: stepOfHandle(steps, handles, ref)?.key === here,
    }
  })
}

function handleKey(
  event: KeyboardEvent,
  { handles, width, pickSigmaPx }: Photo,
  chosen: HandleRef | null,
  send: (event: HandlesEvent) => void,
  choose: (handle: HandleRef | null) => void,
) {
  const arrows: Record<string, [number, number]> = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }
  const arrow = arrows[event.key]
  // as fine as a hand picks
  const far = (pickSigmaPx ?? defaultPickSigmaPx(width)) * (event.shiftKey ? 10 : 1)
  if (arrow && chosen) send({ type: 'nudge', right: arrow[0] * far, up: arrow[1] * far })
  else if (event.key === 'Tab') {
    const all = allHandles(handles)
    const place = all.findIndex((ref) => JSON.stringify(ref) === JSON.stringify(chosen))
    const next = all[event.shiftKey ? (place < 0 ? all.length - 1 : place - 1) : place + 1]
    choose(next ?? null)
    // past the last handle Tab leaves the picture
    if (!next) return
  } else if (event.key === 'Escape') send({ type: 'give-up' })
  else if (event.key === 'Enter') choose(null)
  else if ((event.key === 'Delete' || event.key === 'Backspace') && chosen) send({ type: 'remove' })
  else return
  event.preventDefault()
}

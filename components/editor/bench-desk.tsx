'use client'
/** The bench at a desk: the whole shaft on top, the rollout, below it photograph and close view, findings at the right. */
import { type CSSProperties, useMemo, useRef } from 'react'
import { FindingsSide } from '@/components/finding/findings-side'
import { CloseView } from '@/components/map/close-view'
import { closeWindow } from '@/components/map/mark-drawing'
import { MapPane } from '@/components/map/map-pane'
import { useFrame } from '@/components/map/picture-stage'
import { RolloutWork } from '@/components/map/rollout-work'
import { SuggestionList } from '@/components/map/suggestion-list'
import { DropGround } from '@/components/photo/add-photos'
import { AlignmentWork } from '@/components/photo/alignment-work'
import { FitBench } from '@/components/photo/fit-bench'
import { LiftsLink } from '@/components/lift/lifts-link'
import { NextPhotoAdvice } from '@/components/photo/next-photo-advice'
import { PhotoCaption } from '@/components/photo/photo-caption'
import { PhotoPane } from '@/components/photo/photo-pane'
import { PhotoStrip } from '@/components/photo/photo-strip'
import { UploadList } from '@/components/photo/upload-list'
import { ShaftStrip } from '@/components/shaft/shaft-strip'
import { Button } from '@/components/ui/button'
import { railShaft, useShaft } from '@/components/ui/shaft-document'
import { journalWord, journalWordWithin } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import styles from './bench.module.css'
import { BenchNotices } from './bench-notices'
import type { BenchLayoutProps } from './bench-screen'
import { DraftActions } from './draft-actions'
import { JournalLine } from './journal-line'
import { MarkList } from './mark-list'
import { ToolStops } from './tool-stops'

export function BenchDesk(props: BenchLayoutProps) {
  const { store, state, models, model, pictures, uploads, bench, fitting, onFitting, onPhoto, onJournal, onFiles, onKey } = props
  const { tools, photo, marks, cursor, rollout, unseen } = bench
  const close = useRef<HTMLDivElement>(null)
  const closeFrame = useFrame(close)
  const word = journalWord(model.row.value)
  const { openVertices } = bench
  const suggested = bench.suggestions.shown?.vertices ?? null
  const window = useMemo(() => {
    const shown = suggested ?? openVertices
    return shown && !fitting ? closeWindow(model.surface, closeFrame, shown, suggested ? null : model.row.value.oilHoles) : null
  }, [suggested, openVertices, fitting, model, closeFrame])
  const fit = photo && model.fits.get(photo.id)
  const fitNext = !tools.busy && fit !== undefined && (!fit.ok || !fit.value.trusted)
  const shaftId = state.document.shaft.id
  const { state: rail } = useShaft()
  return (
    <Shell shaft={rail.kind === 'ready' ? railShaft(rail.document) : undefined}>
      <BenchNotices state={state} store={store} />
      <ShaftStrip models={models} pictures={pictures} chosen={model.row.id} onChoose={onJournal} />
      <DropGround onFiles={onFiles} className={styles.bench}>
        <div
          className={styles.left}
          style={{ '--map-ratio': model.surface.totalS / (2 * Math.PI * model.surface.radius) } as CSSProperties}
        >
          <div className={styles.bar}>
            <h1>{word}</h1>
            <JournalLine model={model} />
            <span className={styles.tools}>
              <HistoryButtons {...props} />
              <ToolStops tools={tools} />
            </span>
          </div>
          <div
            className={styles.map}
            style={{
              aspectRatio: `${2 * Math.PI * model.surface.radius} / ${model.surface.totalS}`,
              paddingBottom: model.row.value.kind === 'pin' ? 90 : 74,
            }}
          >
            <MapPane
              model={bench.live}
              lay="rear-up"
              picture={rollout.picture}
              unseen={unseen}
              nextPhoto={bench.nextPhoto}
              marks={marks}
              suggestions={bench.suggestions}
              cursor={cursor}
              tools={tools}
              distanceWords={bench.distanceWords}
              window={window}
              label={`Rollout of ${journalWordWithin(model.row.value)}, the whole turn. The marks are listed below it.`}
              below={
                <>
                  <DraftActions tools={tools} document={state.document} journalId={model.row.value.id} />
                  {bench.distanceWords ? <b className="figure">{bench.distanceWords}</b> : null}
                </>
              }
              onKey={onKey}
            />
          </div>
          <UploadList {...uploads} />
          {photo && fitting ? (
            <div ref={intoView} className={styles.fitting}>
              <FitBench
                key={photo.id}
                row={photo}
                journal={model.row.value}
                lens={state.document.files[photo.id]?.lens ?? null}
                store={store}
                onDone={() => onFitting(false)}
                doneWord={`Done: back to ${journalWordWithin(model.row.value)}`}
              />
            </div>
          ) : photo ? (
            <div className={styles.pair}>
              <section aria-label="Photograph">
                <PhotoCaption row={photo} model={model} store={store} onFit={() => onFitting(true)} mainStep={fitNext} />
                <div className={styles.picture}>
                  <PhotoPane
                    row={photo}
                    model={bench.live}
                    marks={marks}
                    cursor={cursor}
                    tools={tools}
                    store={store}
                    distanceWords={bench.distanceWords}
                    onKey={onKey}
                  />
                </div>
              </section>
              <section aria-label="Close view">
                <CloseView bench={bench} frame={close} />
              </section>
            </div>
          ) : null}
          <PhotoStrip model={model} chosen={photo?.id ?? null} onChoose={onPhoto} onFiles={onFiles} />
          <NextPhotoAdvice {...bench.nextPhoto} model={model} unseen={unseen} />
          <LiftsLink shaftId={shaftId} journalId={model.row.value.id} />
          {model.photos.length === 0 ? (
            <p className="note">
              Drop photographs here, or add them. Eight around the journal, both cheeks and an oil hole or witness mark in view, show all of
              it. JPEG, PNG, WebP, TIFF and HEIC.
            </p>
          ) : null}
          <MarkList bench={bench} />
        </div>
        <FindingsSide bench={bench} store={store} shaftId={shaftId}>
          <AlignmentWork aligned={model.aligned} journal={model.row.value.id} />
          <RolloutWork rollout={rollout} word={word} />
          <SuggestionList suggestions={bench.suggestions} />
        </FindingsSide>
      </DropGround>
    </Shell>
  )
}

/** Fitting wants the whole window. */
function intoView(element: HTMLElement | null) {
  element?.scrollIntoView({ block: 'start' })
}

export function HistoryButtons({ state, store }: Pick<BenchLayoutProps, 'state' | 'store'>) {
  const { done, undone } = state.history
  return (
    <>
      <Button notYet={done.length > 0 ? undefined : 'Undo'} label={`Undo: ${done.at(-1)?.words}`} onPress={store.undo}>
        Undo
      </Button>
      <Button notYet={undone.length > 0 ? undefined : 'Redo'} label={`Redo: ${undone.at(-1)?.words}`} onPress={store.redo}>
        Redo
      </Button>
    </>
  )
}

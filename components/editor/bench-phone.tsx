'use client'
/** The bench on a phone: one picture, three values, one big button; the rollout turned a quarter so that scrolling turns the shaft. */
import { useState } from 'react'
import { findingTitle } from '@/components/finding/finding-words'
import { FindingsSide } from '@/components/finding/findings-side'
import { readings } from '@/components/finding/value-table'
import { MapPane } from '@/components/map/map-pane'
import { RolloutWork } from '@/components/map/rollout-work'
import { SuggestionInHand, SuggestionList } from '@/components/map/suggestion-list'
import { DropGround } from '@/components/photo/add-photos'
import { AlignmentWork } from '@/components/photo/alignment-work'
import { removePhoto } from '@/components/photo/photo-caption'
import { LiftsLink } from '@/components/lift/lifts-link'
import { NextPhotoAdvice } from '@/components/photo/next-photo-advice'
import { PhotoPane } from '@/components/photo/photo-pane'
import { PhotoStrip } from '@/components/photo/photo-strip'
import { UploadList } from '@/components/photo/upload-list'
import { alignmentLine, fitLine } from '@/components/photo/fit-words'
import { PhoneStrip } from '@/components/shaft/phone-strip'
import { Button, ButtonLink } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { useUnits } from '@/components/ui/preferences'
import { journalWord, journalWordWithin } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import { Stops } from '@/components/ui/stops'
import { HistoryButtons } from './bench-desk'
import { BenchNotices } from './bench-notices'
import styles from './bench-phone.module.css'
import type { BenchLayoutProps } from './bench-screen'
import { DraftActions } from './draft-actions'
import { JournalLine } from './journal-line'
import { MarkList } from './mark-list'
import { ToolStops, toolHints } from './tool-stops'
import type { JournalBenchState } from './use-journal-bench'

type Side = 'photo' | 'rollout'

export function BenchPhone(props: BenchLayoutProps) {
  const { store, state, models, model, uploads, bench, onPhoto, onJournal, onFiles, onKey } = props
  const { tools, photo, marks, cursor, rollout, unseen } = bench
  const [side, setSide] = useState<Side>(model.marks.length > 0 ? 'rollout' : 'photo')
  const word = journalWord(model.row.value)
  const shaftId = state.document.shaft.id
  const fit = photo && model.fits.get(photo.id)
  const units = useUnits()
  const laid = fit ? alignmentLine(fit, units) : null
  const drafting = tools.outline.points.length > 0 || tools.trace.taps.length > 0 || (tools.tool === 'shift' && tools.chosenMark !== null)
  const suggested = side === 'rollout' ? bench.suggestions.shown : null
  const number = photo ? model.photos.indexOf(photo) + 1 : 0
  const head = (
    <header className={styles.head}>
      <ButtonLink kind="flat" href={`/shafts/${shaftId}/setup`} label="‹ Shaft: set-up and sizes">
        ‹ Shaft
      </ButtonLink>
      <h1>{word}</h1>
      <Stops
        label="What is shown"
        value={side}
        onChange={setSide}
        stops={[
          { value: 'photo', label: 'Photo' },
          { value: 'rollout', label: 'Rollout' },
        ]}
      />
    </header>
  )
  return (
    <Shell head={head}>
      <div className={styles.screen}>
        <PhoneStrip models={models} chosen={model.row.id} onChoose={onJournal} />
        <BenchNotices state={state} store={store} />
        <div className={styles.tools}>
          <ToolStops tools={tools} />
        </div>
        <div className={styles.picture}>
          {side === 'rollout' ? (
            <MapPane
              model={bench.live}
              lay="front-left"
              picture={rollout.picture}
              unseen={unseen}
              nextPhoto={bench.nextPhoto}
              marks={marks}
              suggestions={bench.suggestions}
              cursor={cursor}
              tools={tools}
              distanceWords={bench.distanceWords}
              window={null}
              label={`Rollout of ${journalWordWithin(model.row.value)}, a quarter turned: front at the left, angle downward`}
              onKey={onKey}
            />
          ) : photo ? (
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
          ) : (
            <p className={styles.blank}>{word} has no photograph yet.</p>
          )}
        </div>
        <ThreeValues bench={bench} />
        <div className={styles.low}>
          {drafting || !suggested ? <PhoneStanding bench={bench} /> : null}
          {drafting ? (
            <DraftActions tools={tools} document={state.document} journalId={model.row.value.id} thumb />
          ) : suggested ? (
            <SuggestionInHand suggestions={bench.suggestions} suggestion={suggested} />
          ) : (
            <div className={styles.two} data-next-step>
              <HistoryButtons {...props} />
              {photo && fit && (!fit.ok || !fit.value.trusted) ? (
                <ButtonLink kind="main" thumb href={`/shafts/${shaftId}/fit/${photo.id}`}>
                  Fit photograph {number}
                </ButtonLink>
              ) : (
                <ButtonLink kind={model.photos.length === 0 ? 'plain' : 'main'} thumb href={`/shafts/${shaftId}/findings`}>
                  Findings
                </ButtonLink>
              )}
            </div>
          )}
          <p className={styles.caution}>
            {suggested && !drafting ? 'Found by the program: nothing until you accept it.' : 'Drawn by a person. This is no crack test.'}
          </p>
        </div>
      </div>
      <DropGround onFiles={onFiles} className={styles.more}>
        <AlignmentWork aligned={model.aligned} journal={model.row.value.id} />
        <RolloutWork rollout={rollout} word={word} />
        <SuggestionList
          suggestions={bench.suggestions}
          onShow={() => {
            setSide('rollout')
            window.scrollTo({ top: 0 })
          }}
        />
        <UploadList {...uploads} />
        <JournalLine model={model} />
        <NextPhotoAdvice {...bench.nextPhoto} model={model} unseen={unseen} />
        <PhotoStrip
          model={model}
          chosen={photo?.id ?? null}
          onChoose={(row) => {
            onPhoto(row)
            setSide('photo')
          }}
          onFiles={onFiles}
        />
        <LiftsLink shaftId={shaftId} journalId={model.row.value.id} />
        {photo ? (
          <p className={styles.photoLine}>
            <span>
              Photograph {number} of {model.photos.length}: {fit ? fitLine(fit) : ''}
              {laid ? `. ${laid}` : ''}
            </span>
            <ButtonLink href={`/shafts/${shaftId}/fit/${photo.id}`}>Look at the fit</ButtonLink>
            <Button kind="flat" onPress={() => removePhoto(photo, number, model, store)}>
              Remove photograph {number}
            </Button>
          </p>
        ) : null}
        <FindingsSide bench={bench} store={store} shaftId={shaftId} />
        <MarkList bench={bench} />
      </DropGround>
    </Shell>
  )
}

function ThreeValues({ bench: { openFinding } }: { bench: JournalBenchState }) {
  const units = useUnits()
  if (!openFinding) return null
  const short: Record<string, string> = { 'Angle to the shaft': 'To the shaft' }
  return (
    <dl className={styles.values}>
      {readings(openFinding, units)
        .slice(0, 3)
        .map(({ name, value, plusMinus, unit }) => (
          <div key={name}>
            <dt>{short[name] ?? name}</dt>
            <dd>
              <b>{value}</b>
              {unit === '°' ? null : <span className="unit"> {plusMinus ? unit : ''}</span>}
            </dd>
            <dd className={styles.plusMinus}>{plusMinus ? `± ${plusMinus}${unit === '°' ? '°' : ` ${unit}`}` : unit}</dd>
          </div>
        ))}
    </dl>
  )
}

function PhoneStanding({ bench }: { bench: JournalBenchState }) {
  const { openFinding, tools } = bench
  if (openFinding)
    return (
      <p className={styles.standing}>
        <ConcernWord concern={openFinding.concern} />
        <span className="soft">{findingTitle(openFinding)}</span>
      </p>
    )
  return (
    <p className="note">
      {bench.distanceWords || toolHints[tools.tool].replace(' Enter keeps it, Esc gives it up.', '').replace(' Enter keeps it.', '')}
    </p>
  )
}

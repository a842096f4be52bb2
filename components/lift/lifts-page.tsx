'use client'
/** The flat lifts of one journal: brought in, chosen, laid on the map, marked. `?journal=` names the journal. */
import { useSearchParams } from 'next/navigation'
import { useMemo, useRef, useState } from 'react'
import { useBench } from '@/components/editor/bench-context'
import { journalModel } from '@/components/editor/bench-model'
import { BenchNotices } from '@/components/editor/bench-notices'
import type { BenchState } from '@/components/editor/bench-state'
import type { BenchStore } from '@/components/editor/bench-store'
import { useNarrow } from '@/components/editor/use-narrow'
import { WaitingFor } from '@/components/editor/waiting-for'
import type { Aligned } from '@/components/photo/aligned-photos'
import { previewPath } from '@/components/photo/photo-picture'
import photoStyles from '@/components/photo/photo-strip.module.css'
import pageStyles from '@/components/photo/fit-page.module.css'
import { failureSentence } from '@/components/ui/api-client'
import { Button, ButtonLink } from '@/components/ui/button'
import { LongWork } from '@/components/ui/long-work'
import { Notice } from '@/components/ui/notice'
import { useSaveStatus } from '@/components/ui/save-context'
import { railShaft, useShaft } from '@/components/ui/shaft-document'
import { journalWord } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import type { LiftRow } from '@/lib/model/rows'
import own from './lift.module.css'
import { LiftBench } from './lift-bench'
import { type Lifts, useLifts } from './lift-rows'

export function LiftsPage() {
  const bench = useBench()
  const name = useSearchParams().get('journal')
  if (bench.kind !== 'ready') return <WaitingFor bench={bench} />
  const { state, store, aligned } = bench
  const row = state.document.journals.find((one) => one.value.id === name) ?? state.document.journals[0]
  if (!row)
    return (
      <Shell>
        <div className={pageStyles.gone}>
          <h1>This shaft has no journals yet.</h1>
          <ButtonLink href={`/shafts/${state.document.shaft.id}/setup`}>Set it up</ButtonLink>
        </div>
      </Shell>
    )
  return <JournalLifts key={row.id} state={state} store={store} aligned={aligned} journalRow={row.id} />
}

function JournalLifts({
  state,
  store,
  aligned,
  journalRow,
}: {
  state: BenchState
  store: BenchStore
  aligned: Aligned
  journalRow: string
}) {
  const { shaftId } = useShaft()
  const lifts = useLifts(shaftId)
  const { document } = state
  const row = document.journals.find((one) => one.id === journalRow) ?? document.journals[0]
  const model = useMemo(() => journalModel(document, row, aligned), [document, row, aligned])
  const [chosen, setChosen] = useState<string | null>(null)
  const word = journalWord(row.value)
  const rows = lifts.state.kind === 'ready' ? lifts.state.rows.filter(({ lift }) => lift.journalId === row.value.id) : []
  const lift = rows.find(({ id }) => id === chosen) ?? rows.at(-1)
  const narrow = useNarrow()
  const { state: rail } = useShaft()
  const head = (
    <header className={pageStyles.head}>
      <ButtonLink kind="flat" href={`/shafts/${shaftId}/bench?journal=${encodeURIComponent(row.value.id)}`}>
        ‹ {word}
      </ButtonLink>
      <h1>Tape lifts and rubbings</h1>
      <span className="soft">{rows.length === 0 ? '' : rows.length === 1 ? '1 lift' : `${rows.length} lifts`}</span>
    </header>
  )
  return (
    <Shell {...(narrow ? { head } : { shaft: rail.kind === 'ready' ? railShaft(rail.document) : undefined })}>
      {narrow ? null : head}
      <BenchNotices state={state} store={store} />
      <LiftNotices lifts={lifts} />
      {lifts.state.kind === 'ready' ? (
        <>
          {rows.length === 0 ? <NoLift word={word} /> : null}
          <LiftStrip
            rows={rows}
            chosen={lift?.id ?? null}
            onChoose={setChosen}
            lifts={lifts}
            onFile={(file) => lifts.add(row.value.id, file)}
          />
          {lift ? <LiftBench key={lift.id} row={lift} model={model} store={store} onLift={(value) => lifts.change(lift, value)} /> : null}
        </>
      ) : null}
    </Shell>
  )
}

function LiftNotices({ lifts }: { lifts: Lifts }) {
  const { state, sending, refused, removed, putBack, reload } = lifts
  return (
    <div aria-live="polite">
      {state.kind === 'loading' ? <p className={own.pad}>Looking for lifts …</p> : null}
      {state.kind === 'failed' ? (
        <Notice weighty urgent title="The lifts could not be read." acts={<Button onPress={reload}>Try again</Button>}>
          <p>{failureSentence(state.failure)}</p>
        </Notice>
      ) : null}
      {sending ? (
        <div className={own.pad}>
          <LongWork doing={`Taking in ${sending.name}`} done={sending.share} of={1} meanwhile="You can go on." />
        </div>
      ) : null}
      {refused ? (
        <Notice weighty urgent title="The server did not take this.">
          <p>{refused}</p>
        </Notice>
      ) : null}
      {removed ? (
        <div className="unsaved">
          <span>Lift {removed.lift.id} is gone. Marks drawn on it stay on the map.</span>
          <Button kind="flat" onPress={() => void putBack()}>
            Put it back
          </Button>
        </div>
      ) : null}
    </div>
  )
}

function NoLift({ word }: { word: string }) {
  return (
    <div className={own.pad}>
      <Notice title={`No lift of ${word.toLowerCase()} yet.`}>
        <p>
          Press tape on the clean journal, or rub paper over it, from tangent line to tangent line; mark front, rear and the witness line on
          it. Lay it flat beside a rule or on squared paper, photograph it from above, and add the picture here. It comes to lie on the map
          with its own plus-minus.
        </p>
      </Notice>
    </div>
  )
}

function LiftStrip({
  rows,
  chosen,
  onChoose,
  lifts,
  onFile,
}: {
  rows: readonly LiftRow[]
  chosen: string | null
  onChoose: (id: string) => void
  lifts: Lifts
  onFile: (file: File) => void
}) {
  const input = useRef<HTMLInputElement>(null)
  const { waiting } = useSaveStatus()
  const open = rows.find(({ id }) => id === chosen)
  const saving = waiting.some(({ key }) => key === `lift:${chosen}`)
  return (
    <div className={own.strip}>
      <ol className={photoStyles.photos} hidden={rows.length === 0} aria-label="Lifts of this journal">
        {rows.map((row, index) => (
          <li key={row.id}>
            <button
              type="button"
              className={photoStyles.photo}
              aria-pressed={row.id === chosen}
              aria-label={`Lift ${index + 1} of ${rows.length}: ${row.lift.file}`}
              onClick={() => onChoose(row.id)}
            >
              {/* biome-ignore lint/performance/noImgElement: the server makes the preview itself */}
              <img src={previewPath(row.id, 320, 'lifts')} alt="" loading="lazy" width={72} height={54} />
              <span>{index + 1}</span>
            </button>
          </li>
        ))}
      </ol>
      <Button
        kind={rows.length === 0 ? 'main' : 'plain'}
        notYet={lifts.sending ? 'Taking it in …' : undefined}
        onPress={() => input.current?.click()}
      >
        Add a lift’s picture
      </Button>
      {open ? (
        <Button
          kind="flat"
          notYet={saving ? 'Saving …' : undefined}
          label={`Remove lift ${open.lift.id}`}
          onPress={() => void lifts.remove(open)}
        >
          Remove
        </Button>
      ) : null}
      <input
        ref={input}
        className="unseen"
        type="file"
        accept="image/*,.heic,.heif,.tif,.tiff"
        tabIndex={-1}
        aria-label="Picture of a lift to add"
        onChange={(event) => {
          const file = event.target.files?.[0]
          event.target.value = ''
          if (file) onFile(file)
        }}
      />
    </div>
  )
}

'use client'
/** One finding: its drawing with dimension lines, what was found against which limit and who says so, the next test, what a person knows of it. */
import { useMemo, useState } from 'react'
import { useRouter } from 'next/navigation'
import { useBench } from '@/components/editor/bench-context'
import { benchMark, journalModel, markFinding, unseenOf } from '@/components/editor/bench-model'
import type { BenchState } from '@/components/editor/bench-state'
import type { BenchStore } from '@/components/editor/bench-store'
import type { Row } from '@/components/editor/document'
import { BenchNotices } from '@/components/editor/bench-notices'
import { markLetter } from '@/components/editor/mark-names'
import { valueStore } from '@/components/editor/value-store'
import { WaitingFor } from '@/components/editor/waiting-for'
import { MarkDrawing } from '@/components/map/mark-drawing'
import { RolloutWork } from '@/components/map/rollout-work'
import { useJournalRollout } from '@/components/map/use-journal-rollout'
import type { Aligned } from '@/components/photo/aligned-photos'
import { ButtonLink } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { Caution } from '@/components/ui/notice'
import { railShaft, useShaft } from '@/components/ui/shaft-document'
import { journalWord } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import type { MapPoint } from '@/lib/journal/surface'
import type { MarkFinding } from '@/lib/model/findings'
import type { Mark } from '@/lib/model/mark'
import styles from './finding-page.module.css'
import { couldBeWords, findingTitle, groupWords, patternMeanings, treatAsCracked } from './finding-words'
import { MarkDetails } from './mark-details'
import { NextTests } from './next-tests'
import { ReasonTable } from './reason-table'
import { ValueTable } from './value-table'

export function FindingPage({ markName }: { markName: string }) {
  const bench = useBench()
  const { state: shaft, shaftId } = useShaft()
  if (bench.kind !== 'ready') return <WaitingFor bench={bench} />
  const row = bench.state.document.marks.find((mark) => mark.value.id === markName)
  return (
    <Shell shaft={shaft.kind === 'ready' ? railShaft(shaft.document) : undefined}>
      <BenchNotices state={bench.state} store={bench.store} />
      {row ? (
        <OneFinding row={row} state={bench.state} aligned={bench.aligned} store={bench.store} shaftId={shaftId} />
      ) : (
        <div className={styles.gone}>
          <h1>This mark is not here.</h1>
          <p>It may have been removed; undo on the bench puts it back.</p>
          <ButtonLink href={`/shafts/${shaftId}/findings`}>All findings</ButtonLink>
        </div>
      )}
    </Shell>
  )
}

function OneFinding({
  row,
  state,
  aligned,
  store,
  shaftId,
}: {
  row: Row<Mark>
  state: BenchState
  aligned: Aligned
  store: BenchStore
  shaftId: string
}) {
  const { document } = state
  const router = useRouter()
  const journal = document.journals.find((one) => one.value.id === row.value.journalId)
  if (!journal) throw new Error(`mark ${row.value.id} has no journal`)
  const model = useMemo(() => journalModel(document, journal, aligned), [document, journal, aligned])
  const finding = markFinding(model, row.value)
  if (!finding) throw new Error(`mark ${row.value.id} has no finding`)
  const groups = model.findings.groups.filter((group) => group.markIds.includes(row.value.id))
  const word = journalWord(journal.value)
  const bench = `/shafts/${shaftId}/bench?journal=${encodeURIComponent(journal.value.id)}`
  const remove = () => {
    store.perform(`Remove mark ${markLetter(row.value)}`, [{ kind: 'mark', id: row.id, before: row.value, after: null }])
    router.push(bench)
  }
  return (
    <div className={styles.page}>
      <div className={styles.headline}>
        <h1>
          <span className="soft">{word}</span> <span className="stamp">{markLetter(row.value)}</span>
        </h1>
        <ConcernWord concern={finding.concern} />
        <span className={styles.acts}>
          <ButtonLink href={bench}>Back to the bench</ButtonLink>
          <ButtonLink href={`/shafts/${shaftId}/findings`}>All findings</ButtonLink>
        </span>
      </div>
      <div className={styles.columns}>
        <div className={styles.column}>
          <FindingDrawing row={row} finding={finding} model={model} />
          <section className={`sheet ${styles.part}`}>
            <ValueTable finding={finding} />
          </section>
          <section className={`sheet ${styles.part}`} aria-label="What you know of it">
            <h2>What you know of it</h2>
            <MarkDetails row={row} store={store} onRemove={remove} />
          </section>
          <Caution>
            Marks are what a person drew; this is no crack test. In plain light a tight crack is often invisible. Follow the engine maker’s
            limits.
          </Caution>
        </div>
        <div className={styles.column}>
          <section className={`sheet ${styles.part}`}>
            <p className={styles.lead}>
              <b>{findingTitle(finding)}.</b> {patternMeanings[finding.pattern]}{' '}
              {finding.concern === 'treat-as-cracked' ? <b>{treatAsCracked}</b> : null} {couldBeWords(finding)}
            </p>
            {groups.map((group) => (
              <p key={group.id}>
                {groupWords[group.kind](group.markIds.map((id) => markLetter({ id, journalId: journal.value.id })).join(', '))}
              </p>
            ))}
            <ReasonTable finding={finding} />
          </section>
          <NextTests finding={finding} />
        </div>
      </div>
    </div>
  )
}

function FindingDrawing({ row, finding, model }: { row: Row<Mark>; finding: MarkFinding; model: ReturnType<typeof journalModel> }) {
  const rollout = useJournalRollout(model)
  const unseen = useMemo(() => unseenOf(model), [model])
  const [cursor] = useState(() => valueStore<MapPoint | null>(null))
  const marks = model.marks.map((one) => benchMark(model, one, one.id === row.id, false, null))
  const vertices = marks.find((mark) => mark.rowId === row.id)?.vertices ?? null
  if (!vertices) return <p className="note">It cannot be drawn on the map: its photograph does not tell the place on the journal yet.</p>
  return (
    <>
      <figure className={styles.drawing}>
        <MarkDrawing
          model={model}
          picture={rollout.picture}
          unseen={unseen}
          marks={marks}
          shown={vertices}
          measured={{ vertices, finding }}
          cursor={cursor}
          label={`Mark ${markLetter(row.value)} on the rollout, with its dimensions`}
        />
      </figure>
      <RolloutWork rollout={rollout} word={journalWord(model.row.value)} />
    </>
  )
}

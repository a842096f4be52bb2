'use client'
/** All findings of a shaft by journal, worst first, what was not seen, and what can be taken along. */
import Link from 'next/link'
import { useMemo } from 'react'
import { useBench } from '@/components/editor/bench-context'
import { type JournalModel, journalModel, worstFirst } from '@/components/editor/bench-model'
import { BenchNotices } from '@/components/editor/bench-notices'
import { markLetter } from '@/components/editor/mark-names'
import { WaitingFor } from '@/components/editor/waiting-for'
import { notAligned } from '@/components/photo/aligned-photos'
import { concernOf } from '@/components/shaft/shaft-strip'
import { ButtonLink } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { Caution } from '@/components/ui/notice'
import { useUnits } from '@/components/ui/preferences'
import { railShaft, useShaft } from '@/components/ui/shaft-document'
import { journalWord } from '@/components/ui/shaft-words'
import { Shell } from '@/components/ui/shell'
import { worstConcern } from '@/lib/finding/pattern'
import { ruleCard } from '@/lib/finding/rule-card'
import type { MarkFinding } from '@/lib/model/findings'
import { coverageWords, findingTitle, nothingRecorded, seenShare, treatAsCracked } from './finding-words'
import { numberWords } from './number-words'
import { inUnits } from './reason-words'
import styles from './findings-page.module.css'
import { TakeAlong } from './take-along'

export function FindingsPage() {
  const bench = useBench()
  const { state: shaft, shaftId } = useShaft()
  const document = bench.kind === 'ready' ? bench.state.document : null
  const aligned = bench.kind === 'ready' ? bench.aligned : notAligned
  const models = useMemo(() => (document ? document.journals.map((row) => journalModel(document, row, aligned)) : []), [document, aligned])
  if (bench.kind !== 'ready') return <WaitingFor bench={bench} />
  const concern = worstConcern(models.map(concernOf))
  const marked = models.filter((model) => model.marks.length > 0).sort((a, b) => order.indexOf(concernOf(a)) - order.indexOf(concernOf(b)))
  const bare = models.filter((model) => model.marks.length === 0)
  return (
    <Shell shaft={shaft.kind === 'ready' ? railShaft(shaft.document) : undefined}>
      <BenchNotices state={bench.state} store={bench.store} />
      <div className={styles.page}>
        <div className={styles.headline}>
          <h1>Findings</h1>
          <ConcernWord concern={concern} />
        </div>
        <p className={styles.statement}>
          {concern === 'treat-as-cracked'
            ? treatAsCracked
            : concern === 'nothing-recorded'
              ? nothingRecorded
              : 'What is marked may be a crack; geometry cannot tell.'}{' '}
          The shaft takes the word of its worst mark.
        </p>
        {marked.map((model) => (
          <JournalFindings key={model.row.id} model={model} shaftId={shaftId} />
        ))}
        {bare.length > 0 ? <BareJournals models={bare} shaftId={shaftId} /> : null}
        <Caution>
          Marks are what a person drew; this is no crack test. In plain light a tight crack is often invisible. Follow the engine maker’s
          limits. ± is 95 %. Limits: rule card {ruleCard.version}.
        </Caution>
        <TakeAlong shaftId={shaftId} journals={models.map((model) => model.row)} />
      </div>
    </Shell>
  )
}

const order = ['treat-as-cracked', 'hold', 'record', 'nothing-recorded']

function JournalFindings({ model, shaftId }: { model: JournalModel; shaftId: string }) {
  const units = useUnits()
  const word = journalWord(model.row.value)
  const coverage = model.findings.journals[0]?.coverage
  return (
    <section className={`sheet ${styles.journal}`} aria-label={word}>
      <div className={styles.head}>
        <h2>{word}</h2>
        <ConcernWord concern={concernOf(model)} />
        <span className={styles.act}>
          <ButtonLink
            kind="flat"
            href={`/shafts/${shaftId}/bench?journal=${encodeURIComponent(model.row.value.id)}`}
            label={`${word} on the bench`}
          >
            On the bench
          </ButtonLink>
        </span>
      </div>
      <ul className={styles.marks}>
        {worstFirst(model).map(({ row, finding }) => (
          <li key={row.id}>
            <Link className={styles.mark} href={`/shafts/${shaftId}/findings/${encodeURIComponent(row.value.id)}`}>
              <span className="stamp">{markLetter(row.value)}</span>
              <ConcernWord concern={finding.concern} />
              <span className={styles.title}>{findingTitle(finding)}</span>
              <MarkNumbersLine finding={finding} />
              <span className={styles.nextTest}>{finding.nextTests[0] ? inUnits(finding.nextTests[0].text, units) : ''}</span>
            </Link>
          </li>
        ))}
      </ul>
      {coverage ? <p className="note">Photographed well: {coverageWords(coverage)}.</p> : null}
    </section>
  )
}

function MarkNumbersLine({ finding }: { finding: MarkFinding }) {
  const units = useUnits()
  const { angle, fillet, hole } = numberWords(finding, units)
  const parts = [
    angle,
    fillet ?? 'distance to the fillets not known',
    finding.oilHoles === null ? 'distance to the oil hole not known' : hole,
  ].filter((part) => part !== null)
  return <span className={`soft figure ${styles.numbers}`}>{parts.join(', ')}</span>
}

function BareJournals({ models, shaftId }: { models: readonly JournalModel[]; shaftId: string }) {
  return (
    <section className={`sheet ${styles.journal}`} aria-label="Journals without marks">
      <h2>Nothing recorded</h2>
      <p className="note">{nothingRecorded} What was not photographed well was not seen at all.</p>
      <ul className={styles.bare}>
        {models.map((model) => {
          const coverage = model.findings.journals[0]?.coverage
          return (
            <li key={model.row.id}>
              <Link href={`/shafts/${shaftId}/bench?journal=${encodeURIComponent(model.row.value.id)}`}>
                {journalWord(model.row.value)}
              </Link>{' '}
              {model.photos.length === 0
                ? 'no photograph yet'
                : coverage
                  ? `nothing recorded, ${seenShare(coverage)} % seen: ${coverageWords(coverage)}`
                  : ''}
            </li>
          )
        })}
      </ul>
    </section>
  )
}

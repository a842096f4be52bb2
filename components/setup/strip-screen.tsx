'use client'
/** Making the printed strip: for which journal, on which paper, the sheet to keep, and what to check with a rule before wrapping it. */
import { useRouter, useSearchParams } from 'next/navigation'
import { useState } from 'react'
import { ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { useUnits } from '@/components/ui/preferences'
import { ShaftGate } from '@/components/ui/shaft-gate'
import { journalWord, journalWordWithin } from '@/components/ui/shaft-words'
import { Stops } from '@/components/ui/stops'
import type { Units } from '@/lib/model/inspection'
import type { Journal } from '@/lib/model/journal'
import type { ShaftDocument } from '@/lib/model/rows'
import { formatLength } from '@/lib/model/units'
import { type StripDesign, stripDesign, stripDiameters } from '@/lib/photo/printed-strip-design'
import { type Paper, stripPieces } from '@/lib/report/strip-layout'
import { StripDrawing } from './strip-drawing'
import styles from './strip-screen.module.css'

export function StripScreen() {
  return <ShaftGate>{(document) => <StripPage document={document} />}</ShaftGate>
}

function StripPage({ document }: { document: ShaftDocument }) {
  const units = useUnits()
  const router = useRouter()
  const chosen = useSearchParams().get('journal')
  const [paper, setPaper] = useState<Paper>('a4')
  const row = document.journals.find(({ journal }) => journal.id === chosen) ?? document.journals[0]
  if (!row)
    return (
      <div className={styles.page}>
        <Notice title="There is no journal yet.">
          <p>Put one on in the set-up; the strip is made for its diameter.</p>
        </Notice>
      </div>
    )
  const { journal } = row
  const design = stripDesign(journal.strip?.diameter ?? journal.diameter, journal.strip?.thickness)
  const word = journalWord(journal)
  return (
    <div className={styles.page}>
      <section className={`sheet ${styles.panel}`}>
        <h1>Printed strip</h1>
        <p>
          A paper band with codes, wrapped once round a journal. A picture that shows three of its codes or more is fitted without a pick,
          close-ups too, and all pictures of the journal share its angle.
        </p>
        {document.journals.length > 1 ? (
          <Stops
            label="Journal"
            wraps
            value={journal.id}
            onChange={(name) => router.replace(`/shafts/${document.shaft.id}/strip?journal=${encodeURIComponent(name)}`, { scroll: false })}
            stops={document.journals.map((one) => ({ value: one.journal.id, label: one.journal.id, spoken: journalWord(one.journal) }))}
          />
        ) : null}
        {design ? (
          <>
            <p>
              <b>{word}</b>: {sizeWords(design, units)}
            </p>
            <StripDrawing design={design} label={`The strip for ${word}, its codes left out`} />
            <Stops
              label="Paper"
              value={paper}
              onChange={setPaper}
              stops={[
                { value: 'a4', label: 'A4' },
                { value: 'letter', label: 'Letter' },
              ]}
            />
            <p className={styles.take}>
              <a className="btn main" href={`/api/journals/${row.id}/strip.pdf?paper=${paper}`} download>
                Download the sheet (PDF)
              </a>
              <ButtonLink href={`/shafts/${document.shaft.id}/setup`}>How it lies: set-up</ButtonLink>
            </p>
            {journal.strip ? null : (
              <p className="note">
                In the set-up say that {journalWordWithin(journal)} wears a strip; pictures added from then on are searched for it.
              </p>
            )}
          </>
        ) : (
          <Notice title={`No strip is made for ${formatLength(journal.diameter, units, 'reading')}.`}>
            <p>
              It serves {formatLength(stripDiameters.least, units)} to {formatLength(stripDiameters.most, units)}. Fit{' '}
              {journalWordWithin(journal)} by handles.
            </p>
          </Notice>
        )}
      </section>
      {design ? <Checks design={design} journal={journal} units={units} /> : null}
    </div>
  )
}

function sizeWords(design: StripDesign, units: Units): string {
  const pieces = stripPieces(design).length
  const size = `for ${formatLength(design.diameter, units, 'reading')}, ${formatLength(design.length, units)} long and ${formatLength(design.height, units)} high`
  return `${size}, ${design.markers} codes, ${pieces === 1 ? 'in one piece' : 'in two pieces that are glued together'}.`
}

function Checks({ design, journal, units }: { design: StripDesign; journal: Journal; units: Units }) {
  const checkMm = 100
  return (
    <section className={`sheet ${styles.panel}`} aria-label="Before wrapping">
      <h2>Before wrapping, with a rule</h2>
      <ol className={styles.checks}>
        <li>
          Print at <b>100 %</b> (actual size), never fitted to the page.
        </li>
        <li>
          The line on the sheet must measure <b>{formatLength(checkMm, units)}</b>. Half a millimetre ({formatLength(0.5, 'in')}) more or
          less is too much: print again.
        </li>
        <li>
          From the beginning of the strip to the line before its tongue it must measure <b>{formatLength(design.length, units)}</b>
          {stripPieces(design).length > 1 ? ', both pieces together' : ''}.
        </li>
        <li>
          Wrap it tight, the edge that says <b>FRONT</b> towards the free end of the shaft, near a fillet and not on it. The codes alone
          cannot tell whether it lies the other way round.
        </li>
        <li>
          Its beginning must meet the line before the tongue. Where it leaves a gap or an overlap, type that in the set-up; more than{' '}
          {formatLength(0.01 * Math.PI * journal.diameter, units)} says that the print or the diameter is wrong.
        </li>
        <li>
          It covers {formatLength(design.height, units)} of the journal: for a narrow one photograph it in two positions, as two journals or
          with the marks beneath seen before.
        </li>
        <li>
          In one picture, better in two, pick the oil hole and a ring: they fix the strip for all of them, and the rim of that hole is
          measured wherever it shows. Photograph where the strip closes, too.
        </li>
      </ol>
    </section>
  )
}

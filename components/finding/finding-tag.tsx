'use client'
/** A mark's finding on its tag: shut with its word and its numbers in one line; open with values, reasons, and the one next test. */
import Link from 'next/link'
import type { ReactNode } from 'react'
import { ConcernWord } from '@/components/ui/concern-word'
import { useUnits } from '@/components/ui/preferences'
import { Tag } from '@/components/ui/tag'
import type { MarkFinding } from '@/lib/model/findings'
import styles from './finding-tag.module.css'
import { couldBeWords, findingTitle, treatAsCracked } from './finding-words'
import { numberWords } from './number-words'
import { inUnits } from './reason-words'
import { ValueTable } from './value-table'

export function FindingTag({
  letter,
  finding,
  open,
  onToggle,
  href,
  children,
}: {
  letter: string
  finding: MarkFinding
  open: boolean
  onToggle: () => void
  /** The finding's own page; null while it is being drawn. */
  href: string | null
  children?: ReactNode
}) {
  return (
    <li className={styles.tag}>
      <Tag>
        <button type="button" className={styles.head} aria-expanded={open} onClick={onToggle}>
          <span className="stamp">{letter}</span>
          <ConcernWord concern={finding.concern} />
        </button>
        <span className={styles.title}>{findingTitle(finding)}</span>
        {open ? <OpenTag finding={finding} href={href} /> : <ShutLine finding={finding} />}
        {open ? children : null}
      </Tag>
    </li>
  )
}

function ShutLine({ finding }: { finding: MarkFinding }) {
  const units = useUnits()
  const { angle, fillet } = numberWords(finding, units)
  const parts = [angle, fillet].filter((part) => part !== null)
  return (
    <span className="note">
      {parts.join('; ') || 'not measured yet'}.
      {finding.nextTests[0] ? ` Next: ${inUnits(finding.nextTests[0].text, units).replace(/^./, (first) => first.toLowerCase())}.` : ''}
    </span>
  )
}

function OpenTag({ finding, href }: { finding: MarkFinding; href: string | null }) {
  const units = useUnits()
  const next = finding.nextTests[0]
  const couldBe = couldBeWords(finding)
  const telling = finding.reasons.filter((reason) => !reason.code.startsWith('away-from'))
  return (
    <>
      <ValueTable finding={finding} />
      <span className={styles.why}>
        {finding.concern === 'treat-as-cracked' ? <b>{treatAsCracked} </b> : null}
        {(telling.length > 0 ? telling : finding.reasons).slice(0, 4).map((reason) => (
          <span key={reason.code + reason.text}>{sentence(inUnits(reason.text, units))} </span>
        ))}
        {couldBe}
      </span>
      {next ? (
        <span className={styles.next}>
          <span className="note">The one test that would settle it</span>
          <b>{inUnits(next.text, units)}</b>
        </span>
      ) : null}
      {href ? (
        <span className={styles.acts}>
          <Link className="btn" href={href}>
            Open finding
          </Link>
        </span>
      ) : null}
    </>
  )
}

export function sentence(text: string): string {
  const capital = text.replace(/^./, (first) => first.toUpperCase())
  return /[.!?]$/.test(capital) ? capital : `${capital}.`
}

/** The one next thing to do on a shaft, in words, and the page where it is done. */
import { journalWordWithin } from '@/components/ui/shaft-words'
import type { Findings, MarkFinding } from '@/lib/model/findings'
import type { ShaftSummary } from '@/lib/model/rows'

export type NextStep = { words: string; press: string; page: 'setup' | 'bench' | 'findings' }

/** @param findings null while they are not here yet, or cannot be had. */
export function nextStep(summary: ShaftSummary, findings: Findings | null): NextStep {
  const { journals } = summary
  if (journals.length === 0) return { words: 'No journal yet: set the shaft up', press: 'Go on', page: 'setup' }
  const photographed = journals.filter((journal) => journal.photos > 0).length
  const worst = findings ? worstMark(findings) : null
  if (worst && worst.concern !== 'record') {
    const journal = journals.find((candidate) => candidate.id === worst.journalId)
    const place = journal ? journalWordWithin(journal) : worst.journalId
    const test = worst.nextTests[0]?.text
    const at = `${place}, mark ${worst.id.replace(`${worst.journalId}-`, '')}`
    return { words: test ? `${test.replace(/\.$/, '')}: ${at}` : at, press: 'Open', page: 'findings' }
  }
  if (photographed < journals.length)
    return {
      words: `Photograph the journals (${photographed} of ${journals.length})`,
      press: photographed === 0 ? 'Go on' : 'Open',
      page: 'bench',
    }
  return { words: 'Draw what you see on the journals; nothing drawn does not mean sound', press: 'Open', page: 'bench' }
}

const weight = { 'treat-as-cracked': 2, hold: 1, record: 0 } as const

function worstMark(findings: Findings): MarkFinding | null {
  return findings.marks.reduce<MarkFinding | null>(
    (worst, mark) => (worst && weight[worst.concern] >= weight[mark.concern] ? worst : mark),
    null,
  )
}

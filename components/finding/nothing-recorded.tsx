/** A journal without marks: how much of it was photographed well, and that this does not mean sound. */
import { Notice } from '@/components/ui/notice'
import { journalWord } from '@/components/ui/shaft-words'
import type { Findings } from '@/lib/model/findings'
import type { Journal } from '@/lib/model/journal'
import { coverageWords, nothingRecorded, seenShare } from './finding-words'

export function NothingRecorded({ findings, journal, photos }: { findings: Findings; journal: Journal; photos: number }) {
  const coverage = findings.journals[0]?.coverage
  const word = journalWord(journal).toLowerCase()
  if (photos === 0)
    return (
      <Notice title={`Nothing recorded on ${word}.`}>
        <p>It has no photograph yet, so nothing of it was seen here. {nothingRecorded}</p>
      </Notice>
    )
  return (
    <Notice title={`Nothing recorded, ${coverage ? seenShare(coverage) : 0} % seen.`}>
      <p>
        Photographed well: {coverage ? coverageWords(coverage) : 'nothing yet'}. The rest is hatched on the map. {nothingRecorded}
      </p>
    </Notice>
  )
}

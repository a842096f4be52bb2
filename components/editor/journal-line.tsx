'use client'
/** The journal in one line: diameter, how many photographs, how much of it was seen. */
import { seenShare } from '@/components/finding/finding-words'
import { useUnits } from '@/components/ui/preferences'
import { formatLength } from '@/lib/model/units'
import type { JournalModel } from './bench-model'

export function JournalLine({ model }: { model: JournalModel }) {
  const units = useUnits()
  const coverage = model.findings.journals[0]?.coverage
  const count = model.photos.length
  const photos = count === 0 ? 'no photograph yet' : count === 1 ? '1 photograph' : `${count} photographs`
  return (
    <span className="soft">
      {formatLength(model.row.value.diameter, units, 'reading')} dia., {photos}
      {count > 0 && coverage ? `, ${seenShare(coverage)} % seen` : ''}
    </span>
  )
}

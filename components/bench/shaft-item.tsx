'use client'
/** One shaft of the list: its tag, its name, the crank at a glance, the word of its worst mark, the next step. */
import { Button, ButtonLink } from '@/components/ui/button'
import { ConcernWord } from '@/components/ui/concern-word'
import { shaftName } from '@/components/ui/shaft-words'
import { Tag } from '@/components/ui/tag'
import { counted } from '@/components/setup/shaft-layout'
import type { ShaftSummary } from '@/lib/model/rows'
import { CrankStrip } from './crank-strip'
import { nextStep } from './next-step'
import styles from './shafts.module.css'
import type { ShaftFindings } from './use-findings'

const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' })

export function ShaftItem({ summary, findings, onTakeOff }: { summary: ShaftSummary; findings: ShaftFindings; onTakeOff: () => void }) {
  const { shaft, journals } = summary
  const known = typeof findings === 'object' ? findings : null
  const next = nextStep(summary, known)
  const name = shaftName(shaft.shaft)
  const spoken = `W.O. ${shaft.shaft.id}${name ? `, ${name}` : ''}`
  const mains = journals.filter((journal) => journal.kind === 'main').length
  const photographed = journals.filter((journal) => journal.photos > 0).length
  return (
    <li className={`sheet ${styles.item}`}>
      <div className={styles.tag}>
        <Tag>
          <span className="stamp">{shaft.shaft.id}</span>
        </Tag>
      </div>
      <div>
        <h2>{name || 'No name on the tag'}</h2>
        <p className="note">
          {counted(mains, 'main')}, {counted(journals.length - mains, 'pin')} · changed {day.format(new Date(shaft.updatedAt))}
        </p>
      </div>
      <div className={styles.strip}>
        <CrankStrip
          label={`${photographed} of ${journals.length} journals photographed`}
          journals={journals.map((journal) => ({
            id: journal.id,
            kind: journal.kind,
            photographed: journal.photos > 0,
            concern: known?.journals.find((finding) => finding.id === journal.id)?.concern ?? null,
          }))}
        />
      </div>
      <div className={styles.word}>
        {known ? (
          <ConcernWord concern={known.shaft.concern} />
        ) : (
          <span className="soft">{findings === 'asked' ? 'Working out the findings …' : 'The findings could not be worked out'}</span>
        )}
        <p className="note">{next.words}</p>
      </div>
      <div className={styles.acts}>
        <ButtonLink href={`/shafts/${shaft.id}/${next.page}`} label={`${next.press} ${spoken}`}>
          {next.press}
        </ButtonLink>
        <Button kind="flat" onPress={onTakeOff} label={`Take off: ${spoken}`}>
          Take off
        </Button>
      </div>
    </li>
  )
}

/** The word of concern and its line: solid with cross-bars, long dashes with rings, round dots. Colour only agrees with them. */
import type { JournalConcern, MarkConcern } from '@/lib/model/findings'

export const concernWords: Record<JournalConcern, string> = {
  'treat-as-cracked': 'Treat as cracked',
  hold: 'Hold',
  record: 'Record',
  'nothing-recorded': 'Nothing recorded',
}

export function ConcernWord({ concern, inSentence = false }: { concern: JournalConcern; inSentence?: boolean }) {
  const word = concernWords[concern]
  return (
    <span className={`say ${concern}`}>
      {concern === 'nothing-recorded' ? null : <ConcernLine concern={concern} />}
      {inSentence ? word.toLowerCase() : word}
    </span>
  )
}

export function ConcernLine({ concern, width = 46 }: { concern: MarkConcern; width?: number }) {
  return (
    <svg width={width} height="16" aria-hidden="true">
      {concern === 'treat-as-cracked' ? (
        <>
          <path d={`M2 8H${width - 2}`} stroke="var(--cracked)" strokeWidth="3.2" />
          <path d={`M2 1.5V14.5M${width - 2} 1.5V14.5`} stroke="var(--cracked)" strokeWidth="3" />
        </>
      ) : concern === 'hold' ? (
        <>
          <path d={`M10.5 8H${width - 10}`} stroke="var(--hold)" strokeWidth="2.6" strokeDasharray="10 4.5" />
          <circle cx="5.5" cy="8" r="4.2" fill="none" stroke="var(--hold)" strokeWidth="2.2" />
          <circle cx={width - 5.5} cy="8" r="4.2" fill="none" stroke="var(--hold)" strokeWidth="2.2" />
        </>
      ) : (
        <path d={`M3 8H${width - 2}`} stroke="var(--record)" strokeWidth="3.2" strokeDasharray=".1 6.4" strokeLinecap="round" />
      )}
    </svg>
  )
}

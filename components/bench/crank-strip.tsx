/** The shaft at a glance: mains above, pins below, joined through the cheeks; a journal's line of concern on it, dashed where no photograph is. */
import type { JournalConcern } from '@/lib/model/findings'

export type StripJournal = { id: string; kind: 'pin' | 'main'; photographed: boolean; concern: JournalConcern | null }

const boxHeight = 20
const top = 3
const rowGap = 30

export function CrankStrip({ journals, label }: { journals: readonly StripJournal[]; label: string }) {
  const { boxes, cheeks, width } = layOut(journals)
  return (
    <svg viewBox={`0 0 ${width} 58`} width={width} height="58" role="img" aria-label={label} style={{ maxWidth: '100%', height: 'auto' }}>
      {cheeks.map((x) => (
        <path key={x} d={`M${x} ${top + boxHeight}V${top + rowGap}`} stroke="var(--edge)" strokeWidth="2" />
      ))}
      {boxes.map((box) => (
        <g key={box.journal.id} transform={`translate(${box.x} ${box.journal.kind === 'main' ? top : top + rowGap})`}>
          {box.journal.photographed ? (
            <>
              <rect width={box.width} height={boxHeight} fill="var(--steel)" />
              <rect width={box.width} height="4.5" fill="var(--on-steel-dye)" opacity=".5" />
              <rect y={boxHeight - 4.5} width={box.width} height="4.5" fill="var(--on-steel-dye)" opacity=".5" />
              <rect width={box.width} height={boxHeight} fill="none" stroke="var(--edge)" />
            </>
          ) : (
            <rect width={box.width} height={boxHeight} fill="none" stroke="var(--edge)" strokeDasharray="4 3" />
          )}
          {box.journal.concern === null || box.journal.concern === 'nothing-recorded' ? null : (
            <Line concern={box.journal.concern} middle={box.width / 2} half={Math.min(16, box.width / 2 - 5)} />
          )}
        </g>
      ))}
    </svg>
  )
}

function Line({ concern, middle, half }: { concern: Exclude<JournalConcern, 'nothing-recorded'>; middle: number; half: number }) {
  const y = boxHeight / 2
  const from = middle - half
  const to = middle + half
  const halo = { stroke: 'var(--on-steel-halo)', strokeLinecap: 'round' as const, fill: 'none' }
  switch (concern) {
    case 'treat-as-cracked':
      return (
        <>
          <path d={`M${from} ${y}H${to}M${from} ${y - 5}V${y + 5}M${to} ${y - 5}V${y + 5}`} {...halo} strokeWidth="5" />
          <path
            d={`M${from} ${y}H${to}M${from} ${y - 5}V${y + 5}M${to} ${y - 5}V${y + 5}`}
            stroke="var(--on-steel-cracked)"
            strokeWidth="2.2"
          />
        </>
      )
    case 'hold':
      return (
        <>
          <path d={`M${from} ${y}H${to}`} {...halo} strokeWidth="9" />
          <path d={`M${from + 5} ${y}H${to - 5}`} stroke="var(--on-steel-hold)" strokeWidth="2" strokeDasharray="6 3" />
          {[from, to].map((x) => (
            <circle key={x} cx={x} cy={y} r="3.2" fill="none" stroke="var(--on-steel-hold)" strokeWidth="1.8" />
          ))}
        </>
      )
    case 'record':
      return (
        <>
          <path d={`M${from} ${y}H${to}`} {...halo} strokeWidth="6" />
          <path
            d={`M${from} ${y}H${to}`}
            stroke="var(--on-steel-record)"
            strokeWidth="2.2"
            strokeDasharray=".1 4.4"
            strokeLinecap="round"
          />
        </>
      )
  }
}

/** Each journal in its order from the front; a cheek stands where two neighbours lie in different rows. */
function layOut(journals: readonly StripJournal[]) {
  const rows = Math.max(
    journals.filter((journal) => journal.kind === 'main').length,
    journals.filter((journal) => journal.kind === 'pin').length,
    1,
  )
  const step = Math.min(104, 322 / (rows + 0.2))
  const boxWidth = step - 10
  let x = 1
  const boxes = journals.map((journal, index) => {
    const before = journals[index - 1]
    if (before) x += before.kind === journal.kind ? step : step / 2
    return { journal, x, width: boxWidth }
  })
  const cheeks = boxes.slice(1).flatMap((box, index) => {
    const before = boxes[index]
    return before && before.journal.kind !== box.journal.kind ? [(box.x + before.x + boxWidth) / 2] : []
  })
  return { boxes, cheeks, width: Math.ceil((boxes.at(-1)?.x ?? 0) + boxWidth + 1) }
}

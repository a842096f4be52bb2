'use client'
/** The shaft from the side as set up so far, drawn to the typed sizes; pins up or down, since throw angles are not asked for. */
import { useMeasuredWidth } from '@/components/ui/measured-width'
import { useUnits } from '@/components/ui/preferences'
import type { Units } from '@/lib/model/inspection'
import { formatForField } from '@/lib/model/units'
import { Dimension, SteelDefs } from './drawing-parts'
import styles from './setup.module.css'

export type DrawnJournal = {
  name: string
  kind: 'pin' | 'main'
  throwIndex: number | null
  /** mm; null while not typed. */
  diameter: number | null
  width: number | null
}

export function ShaftDrawing({
  journals,
  label,
  chosen,
  dimensioned,
}: {
  journals: readonly DrawnJournal[]
  /** Spoken description. */
  label: string
  /** Drawn with a blue outline. */
  chosen?: ReadonlySet<string>
  /** The journal whose sizes stand at dimension lines. */
  dimensioned?: string | null
}) {
  const units = useUnits()
  const [box, width] = useMeasuredWidth<HTMLDivElement>(760)
  const layout = layOut(journals, width)
  const measured = layout.journals.find((journal) => journal.name === dimensioned)
  return (
    <div ref={box} className={styles.drawing}>
      <svg viewBox={`0 0 ${width} ${layout.height}`} role="img" aria-label={label}>
        <SteelDefs id="shaft" />
        <path d={`M4 ${layout.axisY}H${width - 4}`} stroke="var(--ink)" strokeDasharray="16 3 3 3" />
        {layout.cheeks.map((cheek) => (
          <g key={cheek.x}>
            <rect {...cheek} fill="var(--sheet-low)" stroke="var(--ink)" strokeWidth="1.4" />
            <rect {...cheek} fill="url(#shaft-hatch)" opacity=".35" />
          </g>
        ))}
        {layout.journals.map((journal) => (
          <g key={journal.name}>
            <rect {...journal.rect} fill="url(#shaft-steel)" />
            <rect {...journal.rect} width={journal.band} fill="var(--on-steel-dye)" opacity=".34" />
            <rect
              {...journal.rect}
              x={journal.rect.x + journal.rect.width - journal.band}
              width={journal.band}
              fill="var(--on-steel-dye)"
              opacity=".34"
            />
            <rect
              {...journal.rect}
              fill="none"
              stroke={chosen?.has(journal.name) ? 'var(--dye)' : 'var(--ink)'}
              strokeWidth={chosen?.has(journal.name) ? 2.6 : 1.4}
            />
            <text
              x={journal.rect.x + journal.rect.width / 2}
              y={journal.rect.y + journal.rect.height / 2 + 5}
              textAnchor="middle"
              fontSize={layout.lettering}
              fontWeight="650"
              fill="#13202a"
            >
              {journal.name}
            </text>
          </g>
        ))}
        {measured ? <Sizes journal={measured} units={units} sheetWidth={width} /> : null}
        <text x="4" y={layout.wordsY} fontSize="14" fill="var(--ink-soft)">
          front
        </text>
        <text x={width - 4} y={layout.wordsY} fontSize="14" textAnchor="end" fill="var(--ink-soft)">
          rear
        </text>
      </svg>
    </div>
  )
}

function Sizes({ journal, units, sheetWidth }: { journal: LaidJournal; units: Units; sheetWidth: number }) {
  const { rect } = journal
  const right = rect.x + rect.width / 2 < sheetWidth * 0.6
  // A main between two throws has no free room beside it: its diameter stands in the drawing of the one journal.
  const free = sheetWidth >= 500 && (journal.kind === 'pin' || journal.atEnd !== null)
  const past = journal.kind === 'pin' ? journal.cheekWidth + 16 : 16
  const toRight = journal.kind === 'pin' ? right : journal.atEnd === 'rear'
  const sideX = toRight ? rect.x + rect.width + past : rect.x - past
  const room = toRight ? sheetWidth - sideX : sideX
  return (
    <>
      {journal.width === null ? null : (
        <Dimension
          from={{ x: rect.x, y: 26 }}
          to={{ x: rect.x + rect.width, y: 26 }}
          reach={rect.y - 26}
          text={`${formatForField(journal.width, units)} ${units} wide`}
          textAt={right ? { x: rect.x + rect.width + 34, y: 31, anchor: 'start' } : { x: rect.x - 34, y: 31, anchor: 'end' }}
          outside
        />
      )}
      {journal.diameter === null || !free || room < 130 ? null : (
        <Dimension
          from={{ x: sideX, y: rect.y }}
          to={{ x: sideX, y: rect.y + rect.height }}
          reach={toRight ? rect.x + rect.width - sideX : rect.x - sideX}
          text={`${formatForField(journal.diameter, units, 'reading')} ${units} dia.`}
          textAt={{
            x: sideX + (toRight ? 10 : -10),
            y: rect.y + rect.height / 2 - (journal.kind === 'main' ? 22 : -5),
            anchor: toRight ? 'start' : 'end',
          }}
        />
      )}
    </>
  )
}

type Rect = { x: number; y: number; width: number; height: number }
type LaidJournal = DrawnJournal & { rect: Rect; band: number; cheekWidth: number; atEnd: 'front' | 'rear' | null }

const sheetTop = 44
const usualSize = { pin: { diameter: 60, width: 32 }, main: { diameter: 70, width: 32 } }

function layOut(journals: readonly DrawnJournal[], sheetWidth: number) {
  const sized = journals.map((journal) => ({
    ...journal,
    drawnDiameter: within(journal.diameter ?? usualSize[journal.kind].diameter),
    drawnWidth: within(journal.width ?? usualSize[journal.kind].width),
  }))
  const widest = Math.max(...sized.map((journal) => journal.drawnDiameter), 1)
  const meanWidth = sized.reduce((sum, journal) => sum + journal.drawnWidth, 0) / Math.max(1, sized.length)
  const cheekMm = meanWidth * 0.45
  const throwMm = widest * 0.78
  const totalMm = sized.reduce((sum, journal) => sum + journal.drawnWidth, 0) + cheekMm * Math.max(0, sized.length - 1)
  const side = sheetWidth < 500 ? 4 : 44
  const scale = Math.min((sheetWidth - 2 * side) / Math.max(totalMm, 1), 1.3)
  const axisY = sheetTop + (throwMm + widest / 2 + cheekMm * 0.35) * scale
  const lastThrow = Math.max(0, ...sized.map((journal) => journal.throwIndex ?? 0))
  // The rear half mirrors the front half, as on most shafts in line; the true angles are not asked for.
  const offset = ({ throwIndex }: DrawnJournal) =>
    throwIndex === null ? 0 : Math.min(throwIndex, lastThrow - throwIndex) % 2 === 0 ? -throwMm : throwMm
  let x = (sheetWidth - totalMm * scale) / 2
  const laid: LaidJournal[] = []
  const cheeks: Rect[] = []
  for (const [index, journal] of sized.entries()) {
    const width = journal.drawnWidth * scale
    const height = journal.drawnDiameter * scale
    const y = axisY + offset(journal) * scale - height / 2
    laid.push({
      ...journal,
      rect: { x, y, width, height },
      band: width * 0.16,
      cheekWidth: cheekMm * scale,
      atEnd: index === 0 ? 'front' : index === sized.length - 1 ? 'rear' : null,
    })
    x += width
    const next = sized[index + 1]
    if (!next) continue
    const nextHeight = next.drawnDiameter * scale
    const nextY = axisY + offset(next) * scale - nextHeight / 2
    const lip = cheekMm * 0.3 * scale
    const top = Math.min(y, nextY) - lip
    cheeks.push({ x, y: top, width: cheekMm * scale, height: Math.max(y + height, nextY + nextHeight) + lip - top })
    x += cheekMm * scale
  }
  const low = Math.max(
    ...laid.map((journal) => journal.rect.y + journal.rect.height),
    ...cheeks.map((cheek) => cheek.y + cheek.height),
    axisY,
  )
  const narrow = sheetWidth < 500
  return {
    journals: laid,
    cheeks,
    axisY,
    height: Math.ceil(low + (narrow ? 26 : 16)),
    // A narrow sheet has no room beside the shaft: the words go below it.
    wordsY: narrow ? low + 20 : axisY + 18,
    lettering: narrow || sized.length > 13 ? 13 : 15,
  }
}

/** A slip of the keyboard must not push the drawing off the sheet. */
function within(mm: number): number {
  return Math.min(300, Math.max(12, mm))
}

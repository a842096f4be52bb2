'use client'
/** One journal from the side, true to scale, with what was typed of it at dimension lines: width, diameter, ends, oil hole. */
import { useMeasuredWidth } from '@/components/ui/measured-width'
import { useUnits } from '@/components/ui/preferences'
import { formatForField } from '@/lib/model/units'
import { Dimension, SteelDefs } from './drawing-parts'
import type { EndDraft, JournalDraft } from './journal-draft'
import styles from './setup.module.css'

const left = 92
const right = 156
const top = 62
const usual = { diameter: 60, width: 32, radius: 3, undercut: 3 }

export function JournalDrawing({ draft, word }: { draft: JournalDraft; word: string }) {
  const units = useUnits()
  const [box, sheetWidth] = useMeasuredWidth<HTMLDivElement>(600)
  const narrow = sheetWidth < 500
  const sides = narrow ? { left: 44, right: 104 } : { left, right }
  const diameter = within(draft.diameter ?? usual.diameter, 10, 300)
  const width = within(draft.width ?? usual.width, 6, 300)
  const scale = Math.min((sheetWidth - sides.left - sides.right) / width, 190 / diameter)
  const radius = (diameter * scale) / 2
  const reaches = [draft.front, draft.endsAlike ? draft.front : draft.rear].map((end) =>
    end.form === 'tangent' ? (end.radius ?? usual.radius) : 0,
  )
  // The cheek stands out beyond the fillets, however small the journal.
  const lip = Math.max(26, within(Math.max(...reaches), 0, 40) * scale + 10)
  const middleY = top + radius + lip
  const x0 = sides.left + (sheetWidth - sides.left - sides.right - width * scale) / 2
  const x1 = x0 + width * scale
  const rear = draft.endsAlike ? draft.front : draft.rear
  const cheekTop = middleY - radius - lip
  const cheekBottom = middleY + radius + lip
  const front = endPath(draft.front, x0, scale, 1, middleY - radius, middleY + radius)
  const back = endPath(rear, x1, scale, -1, middleY - radius, middleY + radius)
  const say = (mm: number, reading = false) => `${formatForField(mm, units, reading ? 'reading' : 'length')} ${units}`
  const hole = draft.holes[0]
  const holeX = hole ? x0 + (hole.middle || hole.axial === null ? width / 2 : within(hole.axial, 0, width)) * scale : 0
  return (
    <div ref={box} className={styles.drawing}>
      <svg viewBox={`0 0 ${sheetWidth} ${cheekBottom + 44}`} role="img" aria-label={`${word} from the side, as typed so far`}>
        <SteelDefs id="journal" />
        <path d={`M8 ${middleY}H${sheetWidth - 8}`} stroke="var(--ink)" strokeDasharray="16 3 3 3" />
        {[
          [x0 - 34, 34],
          [x1, 34],
        ].map(([x, cheekWidth]) => (
          <g key={x}>
            <rect x={x} y={cheekTop} width={cheekWidth} height={cheekBottom - cheekTop} fill="var(--sheet-low)" />
            <rect x={x} y={cheekTop} width={cheekWidth} height={cheekBottom - cheekTop} fill="url(#journal-hatch)" opacity=".35" />
          </g>
        ))}
        <path d={`${front.down}${back.up}Z`} fill="url(#journal-steel)" stroke="var(--ink)" strokeWidth="1.4" />
        <rect x={x0} y={middleY - radius} width={front.reach} height={radius * 2} fill="var(--on-steel-dye)" opacity=".34" />
        <rect x={x1 - back.reach} y={middleY - radius} width={back.reach} height={radius * 2} fill="var(--on-steel-dye)" opacity=".34" />
        {[x0 + front.reach, x1 - back.reach].map((x, index) =>
          (index === 0 ? front : back).reach > 0 ? (
            <path key={x} d={`M${x} ${middleY - radius}V${middleY + radius}`} stroke="#13202a" strokeDasharray="10 3 2 3" />
          ) : null,
        )}
        <path d={`M${x0} ${cheekTop}V${cheekBottom}M${x1} ${cheekTop}V${cheekBottom}`} stroke="var(--ink)" strokeWidth="1.4" opacity=".5" />
        {hole?.mouthAlong && hole.mouthAround ? (
          <ellipse
            cx={holeX}
            cy={middleY}
            rx={(within(hole.mouthAlong, 0.5, 60) / 2) * scale}
            ry={(within(hole.mouthAround, 0.5, 60) / 2) * scale}
            transform={`rotate(${-(hole.tiltDeg ?? 0)} ${holeX} ${middleY})`}
            fill="#0b0d0e"
            stroke="#dfe5e7"
            strokeWidth="2"
          />
        ) : null}
        {draft.width === null ? null : (
          <Dimension
            from={{ x: x0, y: 24 }}
            to={{ x: x1, y: 24 }}
            reach={cheekTop - 24}
            text={say(draft.width)}
            textAt={{ x: (x0 + x1) / 2, y: 17, anchor: 'middle' }}
          />
        )}
        {draft.diameter === null ? null : (
          <Dimension
            from={{ x: x1 + 50, y: middleY - radius }}
            to={{ x: x1 + 50, y: middleY + radius }}
            reach={-50}
            text={say(draft.diameter, true)}
            textAt={{ x: x1 + 56, y: middleY - 8, anchor: 'start' }}
          />
        )}
        <EndLabel
          end={draft.front}
          x={x0 + front.reach / 2}
          y={cheekBottom + 30}
          say={say}
          anchor="start"
          at={Math.max(4, x0 - 40)}
          tip={middleY + radius}
        />
        {draft.endsAlike ? null : (
          <EndLabel
            end={rear}
            x={x1 - back.reach / 2}
            y={cheekBottom + 30}
            say={say}
            anchor="end"
            at={Math.min(sheetWidth - 4, x1 + 90)}
            tip={middleY + radius}
          />
        )}
      </svg>
      {draft.holes.length > 1 ? (
        <p className="note">Drawn with the first of {draft.holes.length} oil holes, turned to face you.</p>
      ) : hole ? (
        <p className="note">The oil hole is drawn turned to face you.</p>
      ) : null}
    </div>
  )
}

function EndLabel({
  end,
  x,
  y,
  say,
  anchor,
  at,
  tip,
}: {
  end: EndDraft
  x: number
  y: number
  say: (mm: number) => string
  anchor: 'start' | 'end'
  at: number
  tip: number
}) {
  const text =
    end.form === 'step'
      ? 'sharp step'
      : end.form === 'undercut'
        ? end.width === null
          ? null
          : `undercut ${say(end.width)}`
        : end.radius === null
          ? null
          : `fillet R ${say(end.radius)}`
  if (text === null) return null
  return (
    <>
      <path d={`M${x} ${tip - 3}L${x} ${y - 14}`} stroke="var(--ink)" strokeWidth=".9" />
      <circle cx={x} cy={tip - 3} r="2" fill="var(--ink)" />
      <text x={at} y={y} textAnchor={anchor} fontSize="15" fill="var(--ink)">
        {text}
      </text>
    </>
  )
}

/** Outline of one end, in screen px: down along it at the front, up along it at the rear (`turn` 1 or -1), and how far it reaches in. */
function endPath(end: EndDraft, x: number, scale: number, turn: 1 | -1, upper: number, lower: number) {
  switch (end.form) {
    case 'tangent': {
      const r = within(end.radius ?? usual.radius, 0.2, 40) * scale
      return {
        reach: r,
        down: `M${x + r} ${upper}A${r} ${r} 0 0 1 ${x} ${upper - r}V${lower + r}A${r} ${r} 0 0 1 ${x + r} ${lower}`,
        up: `L${x - r} ${lower}A${r} ${r} 0 0 1 ${x} ${lower + r}V${upper - r}A${r} ${r} 0 0 1 ${x - r} ${upper}`,
      }
    }
    case 'undercut': {
      const w = within(end.width ?? usual.undercut, 0.2, 40) * scale
      const depth = Math.min(w * 0.3, 6)
      const inner = x + turn * w
      return {
        reach: w,
        down: `M${inner} ${upper}Q${x + w / 2} ${upper + depth * 2} ${x} ${upper}V${lower}Q${x + w / 2} ${lower - depth * 2} ${inner} ${lower}`,
        up: `L${inner} ${lower}Q${x - w / 2} ${lower - depth * 2} ${x} ${lower}V${upper}Q${x - w / 2} ${upper + depth * 2} ${inner} ${upper}`,
      }
    }
    case 'step':
      return { reach: 0, down: `M${x} ${upper}V${lower}`, up: `L${x} ${lower}V${upper}` }
  }
}

function within(value: number, least: number, most: number): number {
  return Math.min(most, Math.max(least, value))
}

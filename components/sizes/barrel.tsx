'use client'
/**
 * A micrometer's sleeve and thimble set to a reading, so that a wrong digit shows beside the one in the hand. Metric: half millimetres on
 * the sleeve, fifty hundredths a turn. Inch: fortieths on the sleeve, twenty-five thousandths a turn.
 */
import { useMeasuredWidth } from '@/components/ui/measured-width'
import type { Units } from '@/lib/model/inspection'
import { formatLength, fromMm } from '@/lib/model/units'
import styles from './sizes.module.css'

const height = 104
const middle = height / 2
const frame = { mm: { span: 25, turn: 0.5, divisions: 50 }, in: { span: 1, turn: 0.025, divisions: 25 } } as const
const neck = 84
const thimbleLength = 230
/** Of the thimble, so much stays in the picture when the frame is opened all the way. */
const thimbleLeast = 90
const thimbleRadius = 44

/** @param mm the reading; null: nothing readable, the barrel stands at the frame's start for `aboutMm`. */
export function Barrel({ mm, aboutMm, units }: { mm: number | null; aboutMm: number; units: Units }) {
  const [box, width] = useMeasuredWidth<HTMLDivElement>(480)
  const { span, turn, divisions } = frame[units]
  const value = fromMm(mm ?? aboutMm, units)
  const start = Math.floor(value / span + 1e-9) * span
  const opened = mm === null ? 0 : Math.max(0, value - start)
  const perUnit = Math.max(40, width - neck - 10 - thimbleLeast) / span
  const edge = neck + 10 + opened * perUnit
  const onThimble = ((opened % turn) / turn) * divisions
  return (
    <div ref={box} className={styles.barrel}>
      <svg
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={mm === null ? 'Micrometer, not set' : `Micrometer set to ${formatLength(mm, units, 'reading')}`}
      >
        <defs>
          <linearGradient id="barrel-sleeve" x1="0" y1="0" x2="0" y2="1">
            <stop offset="0" stopColor="var(--steel-edge)" />
            <stop offset=".3" stopColor="var(--steel-light)" />
            <stop offset=".6" stopColor="var(--steel)" />
            <stop offset="1" stopColor="var(--steel-edge)" />
          </linearGradient>
          <pattern id="barrel-knurl" width="5" height="5" patternUnits="userSpaceOnUse">
            <path d="M0 0L5 5M5 0L0 5" stroke="#4a545a" strokeWidth=".9" />
          </pattern>
        </defs>
        <rect x="0" y={middle - 42} width={neck} height="84" fill="url(#barrel-sleeve)" stroke="#5d686e" />
        <text x={neck / 2} y={middle + 5} textAnchor="middle" fontSize="14" fontWeight="600" fill="#13202a">
          {start}–{start + span} {units}
        </text>
        <rect x={neck} y={middle - 33} width={Math.max(0, edge - neck)} height="66" fill="url(#barrel-sleeve)" />
        <path d={`M${neck} ${middle}H${edge}`} stroke="#13202a" strokeWidth="1.4" />
        <SleeveTicks units={units} opened={opened} start={start} perUnit={perUnit} />
        <Thimble x={edge} onThimble={onThimble} divisions={divisions} right={width} />
      </svg>
    </div>
  )
}

function SleeveTicks({ units, opened, start, perUnit }: { units: Units; opened: number; start: number; perUnit: number }) {
  const step = units === 'mm' ? 0.5 : 0.025
  const count = Math.floor(opened / step + 1e-6)
  return Array.from({ length: count + 1 }, (_, index) => {
    const x = neck + 10 + index * step * perUnit
    const numbered = units === 'mm' ? index % 10 === 0 : index % 4 === 0
    const below = units === 'mm' && index % 2 === 1
    const length = numbered ? 13 : 9
    // One sleeve carries the numbers of its own frame; in inches they are the tenths.
    const label = units === 'mm' ? String(start + index / 2) : String((index / 4) % 10)
    return (
      <g key={x}>
        <path d={`M${x} ${middle}v${below ? length : -length}`} stroke="#13202a" strokeWidth="1.1" />
        {numbered ? (
          <text x={x} y={middle - 17} fontSize="13" fontWeight="600" textAnchor="middle" fill="#13202a">
            {label}
          </text>
        ) : null}
      </g>
    )
  })
}

function Thimble({ x, onThimble, divisions, right }: { x: number; onThimble: number; divisions: number; right: number }) {
  const bevel = 20
  const visible = Array.from({ length: divisions }, (_, line) => {
    const turned = ((line - onThimble) / divisions) * 2 * Math.PI
    const angle = Math.atan2(Math.sin(turned), Math.cos(turned))
    return { line, angle }
  }).filter(({ angle }) => Math.abs(angle) < 1.05)
  const end = Math.min(right, x + thimbleLength)
  return (
    <>
      <path
        d={`M${x} ${middle - 34}L${x + bevel} ${middle - thimbleRadius}V${middle + thimbleRadius}L${x} ${middle + 34}Z`}
        fill="var(--steel)"
        stroke="#5d686e"
      />
      <rect
        x={x + bevel}
        y={middle - thimbleRadius}
        width={Math.max(0, end - x - bevel)}
        height={thimbleRadius * 2}
        fill="url(#barrel-sleeve)"
        stroke="#5d686e"
      />
      <rect
        x={x + bevel + 62}
        y={middle - thimbleRadius}
        width={Math.max(0, end - x - bevel - 62)}
        height={thimbleRadius * 2}
        fill="url(#barrel-knurl)"
        opacity=".8"
      />
      {visible.map(({ line, angle }) => {
        const y = middle - Math.sin(angle) * (thimbleRadius - 6)
        const numbered = line % 5 === 0
        return (
          <g key={line}>
            <path d={`M${x + 1} ${y}h${numbered ? 17 : 10}`} stroke="#13202a" strokeWidth="1.1" />
            {numbered && Math.abs(angle) < 0.9 ? (
              <text x={x + bevel + 6} y={y + 4.5} fontSize="13" fontWeight="600" fill="#13202a">
                {line}
              </text>
            ) : null}
          </g>
        )
      })}
    </>
  )
}

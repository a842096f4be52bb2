/** Pieces that every drawing is made of: steel, hatching, dimension lines with arrowheads and a plate for the value. */

export function SteelDefs({ id }: { id: string }) {
  return (
    <defs>
      <linearGradient id={`${id}-steel`} x1="0" y1="0" x2="0" y2="1">
        <stop offset="0" stopColor="var(--steel-edge)" />
        <stop offset=".3" stopColor="var(--steel-light)" />
        <stop offset=".65" stopColor="var(--steel)" />
        <stop offset="1" stopColor="var(--steel-edge)" />
      </linearGradient>
      <pattern id={`${id}-hatch`} width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path d="M0 0V7" stroke="var(--ink)" strokeWidth=".8" />
      </pattern>
    </defs>
  )
}

export type At = { x: number; y: number }

/** A dimension line between two points on one horizontal or vertical line, with extension lines of signed length `reach` to the part. */
export function Dimension({
  from,
  to,
  reach,
  text,
  textAt,
  outside = false,
}: {
  from: At
  to: At
  reach: number
  text: string
  textAt: At & { anchor: 'start' | 'middle' | 'end' }
  /** Arrows from without, where the gap is too narrow for them. */
  outside?: boolean
}) {
  const flat = from.y === to.y
  const extend = (at: At) =>
    flat ? `M${at.x} ${at.y + reach}V${at.y - 5}` : `M${at.x + reach} ${at.y}H${at.x - Math.sign(reach || 1) * -5}`
  const tail = outside ? 22 : 0
  const line = flat
    ? outside
      ? `M${from.x - tail} ${from.y}H${from.x}M${to.x} ${to.y}H${to.x + tail}`
      : `M${from.x} ${from.y}H${to.x}`
    : `M${from.x} ${from.y}V${to.y}`
  const [first, second] = flat ? (outside ? (['right', 'left'] as const) : (['left', 'right'] as const)) : (['up', 'down'] as const)
  return (
    <g stroke="var(--ink)" fill="none" strokeWidth="1">
      <path d={`${extend(from)}${extend(to)}`} strokeWidth=".8" />
      <path d={line} />
      <Arrow at={from} pointing={first} />
      <Arrow at={to} pointing={second} />
      <text
        x={textAt.x}
        y={textAt.y}
        textAnchor={textAt.anchor}
        fontSize="15"
        fill="var(--ink)"
        stroke="var(--sheet)"
        strokeWidth="5"
        paintOrder="stroke"
        strokeLinejoin="round"
      >
        {text}
      </text>
    </g>
  )
}

function Arrow({ at, pointing }: { at: At; pointing: 'left' | 'right' | 'up' | 'down' }) {
  const turn = { right: 0, down: 90, left: 180, up: 270 }[pointing]
  return <path d="M0 0L-9 -2.6V2.6Z" fill="var(--ink)" stroke="none" transform={`translate(${at.x} ${at.y}) rotate(${turn})`} />
}

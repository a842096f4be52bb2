'use client'
/** A piece of map with three invented marks, to show at a glance what lies near a fillet or an oil hole and what lies away from both. */
import { useMeasuredWidth } from '@/components/ui/measured-width'
import styles from './shafts.module.css'

export function SampleMap() {
  const [box, width] = useMeasuredWidth<HTMLDivElement>(740)
  const narrow = width < 500
  const height = narrow ? 110 : 138
  const band = height * 0.26
  const holeX = width * 0.545
  const middle = height / 2
  const size = narrow ? 14 : 16
  // On a narrow sheet the two labels stand at the edges, or they would run into each other.
  const labels = narrow
    ? { near: { x: 0, anchor: 'start' as const }, away: { x: width, anchor: 'end' as const }, leader: holeX - 70 }
    : { near: { x: holeX, anchor: 'middle' as const }, away: { x: width * 0.82, anchor: 'middle' as const }, leader: holeX }
  return (
    <div ref={box} className={styles.sample}>
      <svg
        viewBox={`0 0 ${width} ${height + 48}`}
        role="img"
        aria-label="A journal’s surface laid out flat: blue bands at both fillets and around the oil hole; one line reaches into them, three lie away from both"
      >
        <defs>
          <linearGradient id="sample-steel" x1="0" y1="0" x2="0" y2="1">
            <stop offset="0" stopColor="var(--steel-edge)" />
            <stop offset=".5" stopColor="var(--steel)" />
            <stop offset="1" stopColor="var(--steel-edge)" />
          </linearGradient>
          <filter id="sample-grain" x="0" y="0" width="1" height="1">
            <feTurbulence type="fractalNoise" baseFrequency=".012 .09" numOctaves="3" seed="4" />
            <feColorMatrix values="0 0 0 0 .25  0 0 0 0 .27  0 0 0 0 .28  .9 0 0 0 -.32" />
          </filter>
        </defs>
        <rect width={width} height={height} fill="url(#sample-steel)" />
        <rect width={width} height={height} filter="url(#sample-grain)" opacity=".5" />
        {[0, height - band].map((y) => (
          <rect key={y} y={y} width={width} height={band} fill="var(--on-steel-dye)" opacity=".42" />
        ))}
        <path d={`M0 ${band}H${width}M0 ${height - band}H${width}`} stroke="var(--on-steel-scribe)" strokeWidth="1.4" />
        <path d={`M0 ${band * 0.5}H${width}M0 ${height - band * 0.5}H${width}`} stroke="#13202a" strokeDasharray="14 3 2 3" opacity=".7" />
        <ellipse
          cx={holeX}
          cy={middle}
          rx={height * 0.22}
          ry={height * 0.25}
          fill="var(--on-steel-dye)"
          fillOpacity=".42"
          stroke="var(--on-steel-scribe)"
          strokeWidth="1.4"
        />
        <ellipse cx={holeX} cy={middle} rx={height * 0.09} ry={height * 0.115} fill="#0b0d0e" stroke="#d3d9db" strokeWidth="2" />
        <Held from={[width * 0.405, height * 0.36]} to={[width * 0.402, height * 0.64]} />
        <Held from={[width * 0.78, height * 0.42]} to={[width * 0.85, height * 0.435]} />
        <Held from={[width * 0.79, height * 0.5]} to={[width * 0.875, height * 0.495]} />
        <Held from={[width * 0.782, height * 0.57]} to={[width * 0.86, height * 0.55]} />
        <Cracked from={[holeX + height * 0.11, height * 0.37]} to={[holeX + height * 0.3, height * 0.2]} />
        <path
          d={`M${holeX + height * 0.2} ${height * 0.34}L${labels.leader} ${height + 22}M${width * 0.82} ${height * 0.6}V${height + 22}`}
          stroke="var(--ink)"
          fill="none"
        />
        <text x={labels.near.x} y={height + 40} textAnchor={labels.near.anchor} fontSize={size} fill="var(--ink)">
          near a fillet or an oil hole
        </text>
        <text x={labels.away.x} y={height + 40} textAnchor={labels.away.anchor} fontSize={size} fill="var(--ink)">
          away from both
        </text>
      </svg>
    </div>
  )
}

type End = [number, number]

function Held({ from, to }: { from: End; to: End }) {
  return (
    <>
      <path d={`M${from}L${to}`} stroke="var(--on-steel-halo)" strokeWidth="5.5" strokeLinecap="round" />
      <path d={`M${from}L${to}`} stroke="var(--on-steel-hold)" strokeWidth="2" strokeDasharray="7 4" />
      {[from, to].map(([x, y]) => (
        <circle key={`${x} ${y}`} cx={x} cy={y} r="3.4" fill="var(--on-steel-halo)" stroke="var(--on-steel-hold)" strokeWidth="1.8" />
      ))}
    </>
  )
}

function Cracked({ from, to }: { from: End; to: End }) {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const across: End = [((to[1] - from[1]) / length) * 6, (-(to[0] - from[0]) / length) * 6]
  const bar = ([x, y]: End) => `M${x - across[0]} ${y - across[1]}L${x + across[0]} ${y + across[1]}`
  const line = `M${from}L${to}${bar(from)}${bar(to)}`
  return (
    <>
      <path d={line} stroke="var(--on-steel-halo)" strokeWidth="6" strokeLinecap="round" fill="none" />
      <path d={line} stroke="var(--on-steel-cracked)" strokeWidth="2.6" fill="none" />
    </>
  )
}

/** The journal seen from its front end: the part of its turn that is not seen well hatched, and an arrow from where the next picture is taken. */
import { useId } from 'react'
import type { UnseenCells } from '@/components/map/unseen-cells'
import type { Surface } from '@/lib/journal/surface'

const size = 112
const middle = size / 2
const ring = { outer: 34, inner: 25 }
const columns = 72

export function NextPhotoDrawing({ unseen, surface, facingDeg }: { unseen: UnseenCells; surface: Surface; facingDeg: number }) {
  const hatch = useId()
  const at = (deg: number, radius: number) => {
    const turn = (deg * Math.PI) / 180
    return `${(middle + radius * Math.sin(turn)).toFixed(1)} ${(middle - radius * Math.cos(turn)).toFixed(1)}`
  }
  const arc = ({ from, to }: { from: number; to: number }) =>
    to - from >= 359.9
      ? `M${at(0, ring.outer)}A${ring.outer} ${ring.outer} 0 1 1 ${at(180, ring.outer)}A${ring.outer} ${ring.outer} 0 1 1 ${at(0, ring.outer)}ZM${at(0, ring.inner)}A${ring.inner} ${ring.inner} 0 1 0 ${at(180, ring.inner)}A${ring.inner} ${ring.inner} 0 1 0 ${at(0, ring.inner)}Z`
      : `M${at(from, ring.outer)}A${ring.outer} ${ring.outer} 0 ${to - from > 180 ? 1 : 0} 1 ${at(to, ring.outer)}L${at(to, ring.inner)}A${ring.inner} ${ring.inner} 0 ${to - from > 180 ? 1 : 0} 0 ${at(from, ring.inner)}Z`
  return (
    <svg width={size} height={size} viewBox={`0 0 ${size} ${size}`} aria-hidden="true">
      <pattern id={hatch} width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path d="M0 0V5" stroke="var(--ink)" strokeWidth="1" />
      </pattern>
      <circle cx={middle} cy={middle} r={ring.outer} fill="var(--sheet)" stroke="var(--ink)" strokeWidth="1.4" />
      <circle cx={middle} cy={middle} r={ring.inner} fill="var(--bench)" stroke="var(--ink)" strokeWidth="1" />
      {unseenArcs(unseen, surface).map((one) => (
        <path key={one.from} d={arc(one)} fill={`url(#${hatch})`} stroke="var(--ink)" strokeWidth=".8" fillRule="evenodd" />
      ))}
      <path d={`M${at(0, ring.inner - 8)}L${at(0, ring.outer + 6)}`} stroke="var(--ink)" strokeWidth="1.4" />
      <text x={middle + 5} y={13} fontSize="13" fill="var(--ink)">
        12
      </text>
      <g transform={`rotate(${facingDeg} ${middle} ${middle})`}>
        <path d={`M${middle} 1V${middle - ring.outer - 7}`} stroke="var(--ink)" strokeWidth="2.4" />
        <path d={`M${middle} ${middle - ring.outer - 1}l-5 -10h10z`} fill="var(--ink)" />
      </g>
    </svg>
  )
}

/** Stretches of the turn, degrees, of which half the width or more is not seen well. */
export function unseenArcs(unseen: UnseenCells, surface: Surface): { from: number; to: number }[] {
  const missing = new Float64Array(columns)
  for (const { fromTheta, toTheta, fromS, toS } of unseen)
    for (let i = 0; i < columns; i++) {
      const theta = ((i + 0.5) / columns) * 2 * Math.PI
      if (theta >= fromTheta && theta < toTheta) missing[i] += toS - fromS
    }
  const arcs: { from: number; to: number }[] = []
  for (let i = 0; i < columns; i++) {
    if (missing[i] < surface.totalS / 2) continue
    const before = arcs.at(-1)
    const from = (i / columns) * 360
    if (before && before.to === from) before.to = from + 360 / columns
    else arcs.push({ from, to: from + 360 / columns })
  }
  return arcs
}

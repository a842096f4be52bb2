/** The flat strip to scale: its pieces, where its codes stand, and the tongues. */
import { markerMiddle, type StripDesign } from '@/lib/photo/printed-strip-design'
import { longestPiece, stripPieces } from '@/lib/report/strip-layout'
import styles from './strip-screen.module.css'

export function StripDrawing({ design, label }: { design: StripDesign; label: string }) {
  const pieces = stripPieces(design)
  const places = Array.from({ length: design.markers }, (_, place) => markerMiddle(design, place))
  const rowMm = design.height + 6
  return (
    <svg className={styles.drawing} viewBox={`-1 -1 ${longestPiece + 2} ${pieces.length * rowMm}`} role="img" aria-label={label}>
      {pieces.map(({ from, to }, i) => (
        <g key={from} transform={`translate(0 ${i * rowMm})`}>
          <rect width={to - from + design.tongue} height={design.height} className={styles.tongue} />
          <rect width={to - from} height={design.height} className={styles.paper} />
          {places
            .filter(({ x }) => x > from && x < to)
            .map(({ x, y }) => (
              <rect
                key={x}
                x={x - from - design.marker / 2}
                y={design.height - y - design.marker / 2}
                width={design.marker}
                height={design.marker}
                className={styles.code}
              />
            ))}
        </g>
      ))}
    </svg>
  )
}

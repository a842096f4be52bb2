'use client'
/** Every mark and its points as buttons: what the canvases show, for keys and for those who do not see them. */
import { Each } from '@/components/map/each'
import { useUnits } from '@/components/ui/preferences'
import { axialOfS } from '@/lib/journal/surface'
import { formatAngle, formatLength } from '@/lib/model/units'
import styles from './bench.module.css'
import { markLetter } from './mark-names'
import { draftRowId } from './use-bench-tools'
import type { JournalBenchState } from './use-journal-bench'
import { findingTitle } from '@/components/finding/finding-words'

export function MarkList({ bench }: { bench: JournalBenchState }) {
  const units = useUnits()
  const { shown, tools, live } = bench
  const kept = shown.filter(({ row }) => row.id !== draftRowId)
  if (kept.length === 0) return null
  return (
    <details className={styles.list}>
      <summary>Marks and their points as a list</summary>
      {/* biome-ignore lint/a11y/noStaticElementInteractions: arrow keys of the buttons within */}
      <div
        onKeyDown={(event) => {
          if (event.key.startsWith('Arrow') || event.key === 'Delete' || event.key === 'Escape') bench.onKey(event)
        }}
      >
        <p className="note">
          Choose a mark, then a point. Arrows move it 0.1 mm or 0.1°, with Shift ten times; 1 px for one drawn on a photograph. Del drops
          the point, or the mark.
        </p>
        <ul>
          {kept.map(({ row, finding }) => {
            const chosen = row.id === tools.chosenMark
            return (
              <li key={row.id}>
                <button
                  type="button"
                  className="btn"
                  aria-pressed={chosen}
                  onClick={() => {
                    if (tools.tool !== 'shift') tools.setTool('shift')
                    tools.chooseMark(row.id)
                  }}
                >
                  Mark {markLetter(row.value)}
                </button>{' '}
                <span className="note">{findingTitle(finding)}</span>
                {chosen && tools.tool === 'shift' ? (
                  <ol className={styles.points}>
                    <Each of={finding.points}>
                      {(point, index) => (
                        <li>
                          <button
                            type="button"
                            className="btn"
                            aria-pressed={tools.shift.vertex === index}
                            onClick={() => tools.send({ type: 'choose-vertex', vertex: index })}
                          >
                            Point {index + 1}: {formatAngle(point.angleDeg)}
                            {point.s === null ? '' : `, ${formatLength(axialOfS(live.surface, point.s), units)}`}
                          </button>
                        </li>
                      )}
                    </Each>
                  </ol>
                ) : null}
              </li>
            )
          })}
        </ul>
      </div>
    </details>
  )
}

'use client'
/** The close view: the mark in hand with its dimension lines, or the place under the cursor. */
import { type RefObject, useMemo } from 'react'
import type { JournalBenchState } from '@/components/editor/use-journal-bench'
import { markLetter } from '@/components/editor/mark-names'
import { useUnits } from '@/components/ui/preferences'
import { axialOfS, type MapPoint } from '@/lib/journal/surface'
import { formatAngle, formatLength } from '@/lib/model/units'
import styles from './close-view.module.css'
import { useCursor } from './map-cursor'
import { MarkDrawing } from './mark-drawing'

/** mm shown about the cursor where no mark is in hand. */
const aboutCursor = 7

export function CloseView({ bench, frame }: { bench: JournalBenchState; frame: RefObject<HTMLDivElement | null> }) {
  const { live, rollout, unseen, marks, cursor, open, openVertices, openFinding } = bench
  const units = useUnits()
  const at = useCursor(cursor)
  const { surface } = live
  const middle = useMemo(() => firstLook(live), [live])
  const still = openVertices ? null : (at ?? middle)
  const shown = useMemo(
    () => openVertices ?? around(still ?? { theta: Math.PI, s: surface.totalS / 2 }, surface.radius),
    [openVertices, still, surface],
  )
  return (
    <>
      <div className={styles.line}>
        <h2>{open && openVertices ? `Close view, mark ${markLetter(open.row.value)}` : 'Close view'}</h2>
        <span className="soft figure">
          {at
            ? `cursor ${formatAngle((at.theta * 180) / Math.PI)}, ${formatLength(axialOfS(surface, at.s), units)} from the front cheek`
            : ''}
        </span>
      </div>
      <div ref={frame} className={styles.picture}>
        <MarkDrawing
          model={live}
          picture={rollout.picture}
          unseen={unseen}
          marks={marks}
          shown={shown}
          measured={openVertices && openFinding ? { vertices: openVertices, finding: openFinding } : null}
          cursor={cursor}
          label={open ? `Mark ${markLetter(open.row.value)} drawn near` : 'A part of the rollout drawn near'}
        />
      </div>
    </>
  )
}

/** Before anything was pointed at: the first oil hole. */
function firstLook(live: JournalBenchState['live']): MapPoint {
  const hole = live.row.value.oilHoles[0]
  return { theta: hole ? (hole.angleDeg * Math.PI) / 180 : Math.PI, s: live.surface.totalS / 2 }
}

function around({ theta, s }: MapPoint, radius: number): MapPoint[] {
  const half = aboutCursor / radius
  return [
    { theta: theta - half, s: s - aboutCursor },
    { theta: theta + half, s: s + aboutCursor },
  ]
}

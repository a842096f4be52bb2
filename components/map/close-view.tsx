'use client'
/** The close view: the suggested mark that one looks at, the mark in hand with its dimension lines, or the place under the cursor. */
import { type RefObject, useMemo } from 'react'
import { markLetter } from '@/components/editor/mark-names'
import type { JournalBenchState } from '@/components/editor/use-journal-bench'
import { useUnits } from '@/components/ui/preferences'
import { axialOfS, type MapPoint, type Surface } from '@/lib/journal/surface'
import { formatAngle, formatLength } from '@/lib/model/units'
import styles from './close-view.module.css'
import { type CursorStore, useCursor } from './map-cursor'
import type { PictureStore } from './map-ground'
import { photoAt } from './map-sources'
import { MarkDrawing } from './mark-drawing'
import { suggestionWord } from './suggestion-list'

/** mm shown about the cursor where no mark is in hand. */
const aboutCursor = 7

export function CloseView({ bench, frame }: { bench: JournalBenchState; frame: RefObject<HTMLDivElement | null> }) {
  const { live, open, openVertices, cursor, suggestions } = bench
  const suggested = suggestions.shown
  return (
    <>
      <div className={styles.line}>
        <h2>
          {suggested
            ? `Close view, ${suggestionWord(suggestions, suggested)}`
            : open && openVertices
              ? `Close view, mark ${markLetter(open.row.value)}`
              : 'Close view'}
        </h2>
        <CursorWords cursor={cursor} surface={live.surface} picture={bench.rollout.picture} />
      </div>
      <div ref={frame} className={styles.picture}>
        {suggested ? (
          <CloseDrawing bench={bench} shown={suggested.vertices} />
        ) : openVertices ? (
          <CloseDrawing bench={bench} shown={openVertices} />
        ) : (
          <AboutCursor bench={bench} />
        )}
      </div>
    </>
  )
}

function CursorWords({ cursor, surface, picture }: { cursor: CursorStore; surface: Surface; picture: PictureStore }) {
  const units = useUnits()
  const at = useCursor(cursor)
  if (!at) return <span className="soft figure" />
  const sources = picture.get()?.sources
  const photo = sources ? photoAt(sources, at, surface.totalS) : null
  return (
    <span className="soft figure">
      cursor {formatAngle((at.theta * 180) / Math.PI)}, {formatLength(axialOfS(surface, at.s), units)} from the front cheek
      {photo ? `, from ${photo}` : ''}
    </span>
  )
}

function AboutCursor({ bench }: { bench: JournalBenchState }) {
  const { live, cursor } = bench
  const at = useCursor(cursor)
  const { surface } = live
  const hole = live.row.value.oilHoles[0]
  // before anything was pointed at: the first oil hole
  const theta = at?.theta ?? (hole ? (hole.angleDeg * Math.PI) / 180 : Math.PI)
  const s = at?.s ?? surface.totalS / 2
  const shown = useMemo(() => around({ theta, s }, surface.radius), [theta, s, surface])
  return <CloseDrawing bench={bench} shown={shown} />
}

function CloseDrawing({ bench, shown }: { bench: JournalBenchState; shown: readonly MapPoint[] }) {
  const { live, rollout, unseen, marks, cursor, open, openVertices, openFinding, suggestions } = bench
  const suggested = suggestions.shown
  return (
    <MarkDrawing
      model={live}
      picture={rollout.picture}
      unseen={unseen}
      marks={marks}
      shown={shown}
      measured={!suggested && openVertices && openFinding ? { vertices: openVertices, finding: openFinding } : null}
      suggestions={suggestions}
      cursor={cursor}
      label={
        suggested
          ? 'A suggested mark drawn near'
          : open
            ? `Mark ${markLetter(open.row.value)} drawn near`
            : 'A part of the rollout drawn near'
      }
    />
  )
}

function around({ theta, s }: MapPoint, radius: number): MapPoint[] {
  const half = aboutCursor / radius
  return [
    { theta: theta - half, s: s - aboutCursor },
    { theta: theta + half, s: s + aboutCursor },
  ]
}

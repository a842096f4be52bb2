'use client'
/**
 * Suggested marks on the map: thin, in dashes and dots, without ends, the chosen one with the word; nothing of it counts yet. The one that a person has
 * gone to runs between two lines, so that what it is said to be can be seen.
 */
import { Group } from 'react-konva'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { HaloLine, SteelText } from './steel-line'
import type { Suggestions } from './use-suggestions'
import { type ScreenPoint, toScreen, type View } from './view'

const dash = [5, 3, 1, 3]
const besidePx = 8

export function SuggestedLines({
  suggestions,
  sheet,
  view,
  colours,
}: {
  suggestions: Suggestions
  sheet: MapSheet
  view: View
  colours: SteelColours
}) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const clip = { clipX: corner.x, clipY: corner.y, clipWidth: sheet.size.width * view.scale, clipHeight: sheet.size.height * view.scale }
  return (
    <Group {...clip}>
      {(suggestions.open ?? []).map((suggestion) => {
        const chosen = suggestion.key === suggestions.chosen
        return turnsToDraw(suggestion.vertices).map((turn) => {
          const points = turned(suggestion.vertices, turn).map((point) => toScreen(view, onSheet(sheet, point)))
          const first = points[0]
          return (
            <Group key={`${suggestion.key}:${turn}`}>
              {suggestion === suggestions.shown ? (
                [-besidePx, besidePx].map((beside) => (
                  <HaloLine
                    key={beside}
                    points={shifted(points, beside)}
                    width={1.4}
                    colour={colours.ink}
                    halo={colours.halo}
                    dash={dash}
                  />
                ))
              ) : (
                <HaloLine points={points} width={chosen ? 2.4 : 1.4} colour={colours.ink} halo={colours.halo} dash={dash} />
              )}
              {chosen && first ? <SteelText at={{ x: first.x + 6, y: first.y - 12 }} text="suggested" colours={colours} /> : null}
            </Group>
          )
        })
      })}
    </Group>
  )
}

/** The line moved sideways; at a vertex square to the way from the one before to the one after. */
function shifted(points: readonly ScreenPoint[], by: number): ScreenPoint[] {
  return points.map((point, i) => {
    const [before, after] = [points[Math.max(0, i - 1)] ?? point, points[i + 1] ?? point]
    const long = Math.hypot(after.x - before.x, after.y - before.y) || 1
    return { x: point.x - (by * (after.y - before.y)) / long, y: point.y + (by * (after.x - before.x)) / long }
  })
}

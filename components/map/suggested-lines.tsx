'use client'
/** Suggested marks on the map: thin, in dashes and dots, without ends, the chosen one thicker and with the word; nothing of it counts yet. */
import { Group } from 'react-konva'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { HaloLine, SteelText } from './steel-line'
import type { Suggestions } from './use-suggestions'
import { toScreen, type View } from './view'

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
              <HaloLine points={points} width={chosen ? 2.4 : 1.4} colour={colours.ink} halo={colours.halo} dash={[5, 3, 1, 3]} />
              {chosen && first ? <SteelText at={{ x: first.x + 6, y: first.y - 12 }} text="suggested" colours={colours} /> : null}
            </Group>
          )
        })
      })}
    </Group>
  )
}

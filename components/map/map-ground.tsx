'use client'
/** What lies under the marks of a map and seldom changes: steel or rollout, what was not seen hatched, layout blue on what is critical. */
import { memo, useSyncExternalStore } from 'react'
import { Image as KonvaImage, Rect } from 'react-konva'
import type { ValueStore } from '@/components/editor/value-store'
import type { Journal } from '@/lib/model/journal'
import { CriticalBands } from './critical-bands'
import { HandoverLines } from './handover-lines'
import { type MapSheet, onSheet } from './map-sheet'
import type { Handovers, MapSources } from './map-sources'
import type { SteelColours } from './steel-colours'
import { HaloLine } from './steel-line'
import type { UnseenCells } from './unseen-cells'
import { UnseenHatch } from './unseen-hatch'
import { toScreen, type View } from './view'

export type MapPicture = {
  canvas: HTMLCanvasElement | OffscreenCanvas
  stamp: number
  sources: MapSources
  /** Null unless a person asked to see them. */
  handovers: Handovers | null
}
export type PictureStore = ValueStore<MapPicture | null>

export type MapGroundProps = {
  sheet: MapSheet
  view: View
  journal: Journal
  picture: PictureStore
  unseen: UnseenCells
  /** Angles between which the close view lies. */
  window?: { from: number; to: number } | null
  colours: SteelColours
}

export const MapGround = memo(function MapGround({ sheet, view, journal, picture, unseen, window: closeWindow, colours }: MapGroundProps) {
  const at = (theta: number, s: number) => toScreen(view, onSheet(sheet, { theta, s }))
  return (
    <>
      <Steel sheet={sheet} view={view} picture={picture} colours={colours} />
      <UnseenHatch sheet={sheet} view={view} unseen={unseen} colours={colours} />
      <CriticalBands sheet={sheet} view={view} journal={journal} colours={colours} />
      {closeWindow
        ? [closeWindow.from, closeWindow.to].map((theta) => (
            <HaloLine
              key={theta}
              points={[at(theta, 0), at(theta, sheet.surface.totalS)]}
              width={1.6}
              colour={colours.dye}
              halo={colours.halo}
            />
          ))
        : null}
    </>
  )
})

function Steel({ sheet, view, picture, colours }: { sheet: MapSheet; view: View; picture: PictureStore; colours: SteelColours }) {
  const { surface, turn, lay, size } = sheet
  const laidOut = useSyncExternalStore(picture.subscribe, picture.get, picture.get)
  const corner = toScreen(view, { x: 0, y: 0 })
  const width = size.width * view.scale
  const height = size.height * view.scale
  const image = lay === 'rear-up' ? { x: corner.x, y: corner.y, rotation: 0 } : { x: corner.x + width, y: corner.y, rotation: 90 }
  return (
    <>
      <Rect x={corner.x} y={corner.y} width={width} height={height} fill="#9aa1a4" />
      {laidOut ? (
        <KonvaImage
          {...image}
          image={laidOut.canvas as HTMLCanvasElement}
          width={turn * view.scale}
          height={surface.totalS * view.scale}
          name={`stamp-${laidOut.stamp}`}
        />
      ) : null}
      {colours.photoLight < 1 ? (
        <Rect x={corner.x} y={corner.y} width={width} height={height} fill="#000000" opacity={1 - colours.photoLight} />
      ) : null}
      {laidOut?.handovers ? <HandoverLines sheet={sheet} view={view} handovers={laidOut.handovers} colours={colours} /> : null}
    </>
  )
}

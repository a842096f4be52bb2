'use client'
/** Layout blue on fillets, radius bands and oil-hole bands, their limits as scribed white lines, tangent lines chain-dotted. */
import { Group, Line, Rect, Shape } from 'react-konva'
import { formatLength } from '@/lib/model/units'
import { useUnits } from '@/components/ui/preferences'
import { holeBandMm, radiusBandMm } from '@/lib/finding/rule-card'
import type { MapPoint } from '@/lib/journal/surface'
import type { Journal, OilHole } from '@/lib/model/journal'
import { type MapSheet, onSheet, turned } from './map-sheet'
import { oilHoleOutline } from './oil-hole-outline'
import type { SteelColours } from './steel-colours'
import { flatten, SteelText } from './steel-line'
import { type ScreenPoint, toScreen, type View } from './view'

const blue = 0.4
export const chainDots = [14, 3, 2, 3]

export function CriticalBands({ sheet, view, journal, colours }: { sheet: MapSheet; view: View; journal: Journal; colours: SteelColours }) {
  const { surface } = sheet
  const at = (point: MapPoint) => toScreen(view, onSheet(sheet, point))
  const corner = toScreen(view, { x: 0, y: 0 })
  const clip = { clipX: corner.x, clipY: corner.y, clipWidth: sheet.size.width * view.scale, clipHeight: sheet.size.height * view.scale }
  const bands = [
    { end: 'front' as const, edge: 0, tangent: surface.frontTangentS, limit: surface.frontTangentS + radiusBandMm(surface.front) },
    { end: 'rear' as const, edge: surface.totalS, tangent: surface.rearTangentS, limit: surface.rearTangentS - radiusBandMm(surface.rear) },
  ]
  return (
    <Group {...clip}>
      {bands.map(({ end, edge, tangent, limit }) => (
        <Group key={end}>
          <Rect {...rectangle(at({ theta: 0, s: edge }), at({ theta: 2 * Math.PI, s: limit }))} fill={colours.dye} opacity={blue} />
          <Line
            points={flatten([at({ theta: 0, s: limit }), at({ theta: 2 * Math.PI, s: limit })])}
            stroke={colours.scribe}
            strokeWidth={1.2}
          />
          <Line
            points={flatten([at({ theta: 0, s: tangent }), at({ theta: 2 * Math.PI, s: tangent })])}
            stroke="#0f1a22"
            strokeWidth={1}
            dash={chainDots}
            opacity={0.8}
          />
        </Group>
      ))}
      {journal.oilHoles.flatMap((hole) =>
        [-1, 0, 1].map((turns) => {
          const outer = turned(oilHoleOutline(surface, hole, holeBandMm(Math.max(hole.mouthAround, hole.mouthAlong))), turns).map(at)
          const rim = turned(oilHoleOutline(surface, hole, 0), turns).map(at)
          return <HoleBand key={`${hole.id}:${turns}`} outer={outer} rim={rim} colours={colours} />
        }),
      )}
      <BandWords sheet={sheet} view={view} holes={journal.oilHoles} colours={colours} bands={bands} />
    </Group>
  )
}

function HoleBand({ outer, rim, colours }: { outer: ScreenPoint[]; rim: ScreenPoint[]; colours: SteelColours }) {
  return (
    <>
      <Shape
        fill={colours.dye}
        opacity={blue}
        sceneFunc={(context, shape) => {
          const canvas = context._context as CanvasRenderingContext2D
          canvas.beginPath()
          for (const outline of [outer, rim]) {
            outline.forEach(({ x, y }, index) => {
              if (index === 0) canvas.moveTo(x, y)
              else canvas.lineTo(x, y)
            })
            canvas.closePath()
          }
          canvas.fillStyle = shape.fill() as string
          canvas.fill('evenodd')
        }}
      />
      <Line points={flatten(outer)} closed stroke={colours.scribe} strokeWidth={1.2} />
      <Line points={flatten(rim)} closed stroke={colours.halo} strokeWidth={1} opacity={0.9} />
    </>
  )
}

type Band = { end: 'front' | 'rear'; edge: number; tangent: number; limit: number }

/** Names at the edges of the frame, not of the map: they stay in sight when one goes nearer. */
function BandWords({
  sheet,
  view,
  holes,
  colours,
  bands,
}: {
  sheet: MapSheet
  view: View
  holes: readonly OilHole[]
  colours: SteelColours
  bands: readonly Band[]
}) {
  const units = useUnits()
  const at = (point: MapPoint) => toScreen(view, onSheet(sheet, point))
  const upright = sheet.lay === 'rear-up'
  const start = Math.max(0, toScreen(view, { x: 0, y: 0 }).x) + 8
  return (
    <>
      {bands.map(({ end, edge, tangent, limit }) => {
        const form = sheet.surface[end].form
        const name = form === 'tangent' ? `${end} fillet` : form === 'undercut' ? `${end} undercut` : `${end} edge`
        const fillet = at({ theta: 0, s: (edge + tangent) / 2 })
        const band = at({ theta: 0, s: (tangent + limit) / 2 })
        const size = `radius band ${formatLength(Math.abs(limit - tangent), units)}`
        if (!upright)
          return (
            <SteelText
              key={end}
              at={{ x: (fillet.x + band.x) / 2, y: Math.max(0, fillet.y) + 88 }}
              text={name}
              rotation={-90}
              colours={colours}
            />
          )
        const from = awayFromHoles(
          Math.abs(band.y - fillet.y) > 18 ? start : start + 118,
          holes.map((hole) => at({ theta: (hole.angleDeg * Math.PI) / 180, s: limit }).x),
          reachOf(holes) * view.scale,
        )
        const room = Math.abs(band.y - fillet.y) * 2
        return (
          <Group key={end}>
            {room > 14 ? <SteelText at={{ x: start, y: fillet.y }} text={name} colours={colours} /> : null}
            <SteelText at={{ x: room > 14 ? from : start, y: band.y }} text={room > 14 ? size : `${name}, ${size}`} colours={colours} />
          </Group>
        )
      })}
    </>
  )
}

/** Screen px that "radius band 5.61 mm" takes. */
const wordsWidth = 150

/** The wished place, or the first further to the right where the words lie over no oil hole's band. */
function awayFromHoles(wished: number, middles: readonly number[], reach: number): number {
  // drawn near, a hole is wider than the words: they may lie within its band
  if (2 * reach > wordsWidth) return wished
  const inTheWay = [...middles].sort((a, b) => a - b)
  return inTheWay.reduce((x, middle) => (x < middle + reach && x + wordsWidth > middle - reach ? middle + reach + 6 : x), wished)
}

/** mm around the journal from the middle of the largest hole to the edge of its band. */
function reachOf(holes: readonly OilHole[]): number {
  return Math.max(0, ...holes.map((hole) => hole.mouthAround / 2 + holeBandMm(Math.max(hole.mouthAround, hole.mouthAlong))))
}

function rectangle(one: ScreenPoint, other: ScreenPoint) {
  return { x: Math.min(one.x, other.x), y: Math.min(one.y, other.y), width: Math.abs(one.x - other.x), height: Math.abs(one.y - other.y) }
}

'use client'
/** What is drawn over a lift's picture: tapped points, the edges and the turn as the fit lays them, the journal's marks, and the one being drawn. */
import { Circle, Group } from 'react-konva'
import type { BenchMark } from '@/components/map/bench-mark'
import { Each } from '@/components/map/each'
import type { SteelColours } from '@/components/map/steel-colours'
import { HaloLine, MarkLine, SteelText } from '@/components/map/steel-line'
import { VertexKnob } from '@/components/map/vertex-knob'
import { type ScreenPoint, toScreen, type View } from '@/components/map/view'
import type { MapPoint } from '@/lib/journal/surface'
import { type LiftFit, liftPixel } from '@/lib/photo/flat-lift'
import { edgeS } from '@/lib/photo/flat-lift-task'
import { type LiftList, type LiftPointRef, type LiftWork, liftLists, pixelsOf, sameLiftPoint } from './lift-tool'

const letters: Record<Exclude<LiftList, 'mark' | 'scale'>, string> = { front: 'F', rear: 'R', witness: 'W' }

export function LiftPoints({
  work,
  here,
  chosen,
  view,
  colours,
}: {
  work: LiftWork
  here: LiftList
  chosen: LiftPointRef | null
  view: View
  colours: SteelColours
}) {
  return (
    <>
      {liftLists
        .filter((list) => list !== 'mark')
        .map((list) => (
          <Group key={list} opacity={list === here ? 1 : 0.75}>
            <Each of={pixelsOf(work, list)}>
              {([x, y], index) => (
                <TappedPoint
                  at={toScreen(view, { x, y })}
                  name={list === 'scale' ? `${index + 1}` : letters[list]}
                  arm={list === here ? 10 : 6}
                  chosen={sameLiftPoint(chosen, { list, index })}
                  colours={colours}
                />
              )}
            </Each>
          </Group>
        ))}
      <DrawnOutline work={work} chosen={chosen} view={view} colours={colours} />
    </>
  )
}

/** Tangent lines or inked edges, and the witness line, where the fit lays them. */
export function LiftLines({ work, fit, view, colours }: { work: LiftWork; fit: LiftFit; view: View; colours: SteelColours }) {
  const { lift } = work
  const { surface } = fit
  const witness = (lift.witness.angleDeg * Math.PI) / 180
  const along = (s: number): MapPoint[] => Array.from({ length: 25 }, (_, i) => ({ theta: witness + ((i - 12) / 12) * Math.PI, s }))
  const lines: { key: string; points: MapPoint[]; text: string }[] = [
    { key: 'front', points: along(edgeS(surface, 'front', lift.front)), text: 'front' },
    { key: 'rear', points: along(edgeS(surface, 'rear', lift.rear)), text: 'rear' },
    {
      key: 'witness',
      points: [
        { theta: witness, s: surface.frontTangentS },
        { theta: witness, s: (surface.frontTangentS + surface.rearTangentS) / 2 },
        { theta: witness, s: surface.rearTangentS },
      ],
      text: `${Number(lift.witness.angleDeg.toFixed(1))}°`,
    },
  ]
  return (
    <>
      {lines.map(({ key, points, text }) => {
        const seen = onPicture(fit, points, view, lift)
        const middle = seen[Math.floor(seen.length / 2)]
        return (
          <Group key={key}>
            {seen.length > 1 ? <HaloLine points={seen} width={1.4} colour={colours.dye} halo={colours.halo} dash={[14, 3, 2, 3]} /> : null}
            {middle && seen.length > 1 ? <SteelText at={{ x: middle.x + 8, y: middle.y - 10 }} text={text} colours={colours} /> : null}
          </Group>
        )
      })}
    </>
  )
}

/** The journal's marks as they would lie on the lift. */
export function LiftMarks({
  marks,
  fit,
  work,
  view,
  colours,
}: {
  marks: readonly BenchMark[]
  fit: LiftFit
  work: LiftWork
  view: View
  colours: SteelColours
}) {
  return marks.map((mark) => {
    const points = mark.vertices ? onPicture(fit, turnedNear(mark.vertices, work.lift.witness.angleDeg), view, work.lift) : []
    return points.length === mark.vertices?.length ? (
      <MarkLine key={mark.rowId} points={points} concern={mark.concern} closed={mark.closed} colours={colours} />
    ) : null
  })
}

function DrawnOutline({ work, chosen, view, colours }: { work: LiftWork; chosen: LiftPointRef | null; view: View; colours: SteelColours }) {
  const points = work.outline.map(([x, y]) => toScreen(view, { x, y }))
  return (
    <>
      {points.length > 1 ? <MarkLine points={points} concern={null} closed={false} colours={colours} /> : null}
      <Each of={points}>
        {(at, index) => <VertexKnob at={at} chosen={sameLiftPoint(chosen, { list: 'mark', index })} colours={colours} />}
      </Each>
    </>
  )
}

function TappedPoint({
  at,
  name,
  arm,
  chosen,
  colours,
}: {
  at: ScreenPoint
  name: string
  arm: number
  chosen: boolean
  colours: SteelColours
}) {
  const line = (points: ScreenPoint[]) => <HaloLine points={points} width={1.8} colour={colours.ink} halo={colours.halo} />
  return (
    <>
      {line([
        { x: at.x - arm, y: at.y },
        { x: at.x + arm, y: at.y },
      ])}
      {line([
        { x: at.x, y: at.y - arm },
        { x: at.x, y: at.y + arm },
      ])}
      <SteelText at={{ x: at.x + 8, y: at.y - 12 }} text={name} colours={colours} />
      {chosen ? <Circle x={at.x} y={at.y} radius={16} stroke={colours.dye} strokeWidth={2.6} /> : null}
    </>
  )
}

/** Only what lies in the picture: beyond it the paper ends. */
function onPicture(fit: LiftFit, points: readonly MapPoint[], view: View, { width, height }: LiftWork['lift']): ScreenPoint[] {
  return points.flatMap((point) => {
    const pixel = liftPixel(fit, point)
    return pixel && pixel.u >= 0 && pixel.v >= 0 && pixel.u <= width && pixel.v <= height
      ? [toScreen(view, { x: pixel.u, y: pixel.v })]
      : []
  })
}

/** The line on the turn whose first point lies nearest to the witness line. */
function turnedNear(points: readonly MapPoint[], witnessDeg: number): MapPoint[] {
  const off = ((points[0]?.theta ?? 0) - (witnessDeg * Math.PI) / 180) / (2 * Math.PI)
  const turns = Math.round(off)
  return points.map(({ theta, s }) => ({ theta: theta - turns * 2 * Math.PI, s }))
}

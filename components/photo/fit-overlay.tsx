'use client'
/** The fitted journal over its photograph: layout blue on what is critical, sides, tangent lines, cheeks' ends, hole, a tick every so many degrees. */
import { useMemo } from 'react'
import { Group, Line } from 'react-konva'
import { Each } from '@/components/map/each'
import { chainDots } from '@/components/map/critical-bands'
import { oilHoleOutline } from '@/components/map/oil-hole-outline'
import type { SteelColours } from '@/components/map/steel-colours'
import { flatten, HaloLine, SteelText } from '@/components/map/steel-line'
import { type ScreenPoint, toScreen, type View } from '@/components/map/view'
import { holeBandMm, radiusBandMm } from '@/lib/finding/rule-card'
import type { Journal } from '@/lib/model/journal'
import type { PhotoPoint } from '@/lib/photo/camera'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { bandOutline, cheekPlaces, degreeTicks, ringCurve, sideCurves, visibleCurves } from './surface-curves'

export function FitOverlay({
  journal,
  fit,
  view,
  colours,
  bands,
}: {
  journal: Journal
  fit: Fit
  view: View
  colours: SteelColours
  bands: boolean
}) {
  const curves = useMemo(() => fitCurves(journal, fit), [journal, fit])
  const at = (points: readonly PhotoPoint[]): ScreenPoint[] => points.map(({ u, v }) => toScreen(view, { x: u, y: v }))
  return (
    <Group>
      <Each of={bands ? curves.bands : []}>
        {(outline) => <Line points={flatten(at(outline))} closed fill={colours.dye} opacity={0.34} />}
      </Each>
      <Each of={bands ? curves.holeBands : []}>
        {(curve) => <Line points={flatten(at(curve))} closed fill={colours.dye} opacity={0.3} stroke={colours.scribe} strokeWidth={1} />}
      </Each>
      <Each of={bands ? curves.limits : []}>
        {(curve) => <Line points={flatten(at(curve))} stroke={colours.scribe} strokeWidth={1.4} />}
      </Each>
      {curves.ticks.map(({ angleDeg, generator }) => (
        <Group key={angleDeg}>
          <Line points={flatten(at(generator))} stroke={colours.halo} strokeWidth={1} dash={[3, 6]} opacity={0.75} />
          {fit.rollKnown ? (
            <SteelText at={besideRing(at(generator))} text={`${angleDeg}°`} align="center" colours={colours} size={13} />
          ) : null}
        </Group>
      ))}
      <Each of={curves.tangents}>
        {(curve) => (
          <>
            <Line points={flatten(at(curve))} stroke={colours.halo} strokeWidth={3.4} opacity={0.85} />
            <Line points={flatten(at(curve))} stroke={colours.ink} strokeWidth={1.3} dash={chainDots} />
          </>
        )}
      </Each>
      <Each of={curves.cheeks}>
        {(curve) => <Line points={flatten(at(curve))} stroke={colours.halo} strokeWidth={1.1} opacity={0.75} />}
      </Each>
      <Each of={curves.sides}>{(curve) => <HaloLine points={at(curve)} width={2} colour={colours.dye} halo={colours.halo} />}</Each>
      <Each of={curves.mouths}>{(curve) => <HaloLine points={at(curve)} width={1.8} colour={colours.dye} halo={colours.halo} />}</Each>
      {bands ? null : <CheekWords fit={fit} view={view} colours={colours} />}
    </Group>
  )
}

/** Which cheek is which, where the handles tell. */
function CheekWords({ fit, view, colours }: { fit: Fit; view: View; colours: SteelColours }) {
  const places = useMemo(() => (fit.slideKnown && fit.senseKnown ? cheekPlaces(fit.surface, fit.camera) : null), [fit])
  if (!places) return null
  const front = places.front && toScreen(view, { x: places.front.u, y: places.front.v })
  const rear = places.rear && toScreen(view, { x: places.rear.u, y: places.rear.v })
  // beside each other the words run outwards, away from the journal
  const beside = front && rear && Math.abs(front.x - rear.x) > Math.abs(front.y - rear.y)
  const alignOf = (at: ScreenPoint, other: ScreenPoint | null) => (beside && other ? (at.x < other.x ? 'right' : 'left') : 'center')
  return [
    { end: 'front', at: front, other: rear },
    { end: 'rear', at: rear, other: front },
  ].map(({ end, at, other }) => {
    return at ? <SteelText key={end} at={at} text={`${end} cheek`} align={alignOf(at, other)} colours={colours} size={15} /> : null
  })
}

function fitCurves(journal: Journal, fit: Fit) {
  const { surface, camera } = fit
  const ring = (s: number) => (fit.slideKnown ? ringCurve(surface, camera, s) : [])
  const frontLimit = surface.frontTangentS + radiusBandMm(surface.front)
  const rearLimit = surface.rearTangentS - radiusBandMm(surface.rear)
  const holes = fit.rollKnown ? journal.oilHoles : []
  return {
    sides: sideCurves(surface, camera),
    tangents: [...ring(surface.frontTangentS), ...ring(surface.rearTangentS)],
    cheeks: [...ring(0), ...ring(surface.totalS)],
    limits: [...ring(frontLimit), ...ring(rearLimit)],
    bands: fit.slideKnown ? [bandOutline(surface, camera, 0, frontLimit), bandOutline(surface, camera, rearLimit, surface.totalS)] : [],
    holeBands: holes.flatMap((hole) =>
      visibleCurves(surface, camera, closed(oilHoleOutline(surface, hole, holeBandMm(Math.max(hole.mouthAround, hole.mouthAlong))))),
    ),
    mouths: holes.flatMap((hole) => visibleCurves(surface, camera, closed(oilHoleOutline(surface, hole, 0)))),
    ticks: fit.slideKnown ? degreeTicks(surface, camera, 30) : [],
  }
}

function closed<Point>(points: Point[]): Point[] {
  return points[0] ? [...points, points[0]] : points
}

/** Where the number of a tick stands: on it, off the front ring and the handles there. */
function besideRing(generator: readonly ScreenPoint[]): ScreenPoint {
  const [front, rear] = [generator[0], generator.at(-1)] as [ScreenPoint, ScreenPoint]
  const length = Math.hypot(rear.x - front.x, rear.y - front.y) || 1
  const [right, down] = [(rear.x - front.x) / length, (rear.y - front.y) / length]
  const off = 14 + 16 * Math.abs(right)
  return { x: front.x + right * off, y: front.y + down * off }
}

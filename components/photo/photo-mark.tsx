'use client'
/** A mark on a photograph: through the fit from the map, or, without a fit, the pixels as they were drawn. */
import { Group } from 'react-konva'
import type { BenchMark } from '@/components/map/bench-mark'
import { Each } from '@/components/map/each'
import type { SteelColours } from '@/components/map/steel-colours'
import { MarkLine } from '@/components/map/steel-line'
import { VertexKnob } from '@/components/map/vertex-knob'
import { type ScreenPoint, toScreen, type View } from '@/components/map/view'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { divided, visibleCurves, visiblePixel } from './surface-curves'

export function PhotoMark({
  mark,
  photoId,
  fit,
  view,
  colours,
}: {
  mark: BenchMark
  photoId: string
  fit: Fit | null
  view: View
  colours: SteelColours
}) {
  const own = mark.drawn?.photoId === photoId ? mark.drawn.pixels : null
  const place = ([u, v]: readonly [number, number]) => toScreen(view, { x: u, y: v })
  const knobs: (ScreenPoint | null)[] = own
    ? own.map(place)
    : (mark.vertices ?? []).map((vertex) => {
        const seen = fit && visiblePixel(fit.surface, fit.camera, vertex)
        return seen ? place([seen.u, seen.v]) : null
      })
  return (
    <Group>
      <Each of={photoLines(mark, photoId, fit, view)}>
        {(points) => <MarkLine points={points} concern={mark.concern} closed={mark.closed && own !== null && !fit} colours={colours} />}
      </Each>
      <Each of={mark.open ? knobs : []}>
        {(at, index) => (at ? <VertexKnob at={at} chosen={mark.chosenVertex === index} colours={colours} /> : null)}
      </Each>
    </Group>
  )
}

/** The visible parts of a mark on the screen. */
export function photoLines(mark: BenchMark, photoId: string, fit: Fit | null, view: View): ScreenPoint[][] {
  const own = mark.drawn?.photoId === photoId ? mark.drawn.pixels : null
  const place = (u: number, v: number) => toScreen(view, { x: u, y: v })
  const lines = linesOf(mark, fit).map((line) => line.map(({ u, v }) => place(u, v)))
  return lines.length > 0 ? lines : own ? [own.map(([u, v]) => place(u, v))] : []
}

function linesOf(mark: BenchMark, fit: Fit | null) {
  if (!fit || !mark.vertices) return []
  if (mark.vertices.length === 1) {
    const seen = visiblePixel(fit.surface, fit.camera, mark.vertices[0] as { theta: number; s: number })
    return seen ? [[seen]] : []
  }
  return visibleCurves(fit.surface, fit.camera, divided(mark.vertices, mark.closed, fit.surface.radius))
}

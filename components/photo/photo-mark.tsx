'use client'
/** A mark on a photograph: through the fit from the map, or, without a fit, the pixels as they were drawn. */
import { Group } from 'react-konva'
import type { BenchMark } from '@/components/map/bench-mark'
import { besideLine } from '@/components/map/map-mark'
import type { SteelColours } from '@/components/map/steel-colours'
import { LetterPlate, MarkLine } from '@/components/map/steel-line'
import { VertexKnob } from '@/components/map/vertex-knob'
import { type ScreenPoint, type Size, toScreen, type View } from '@/components/map/view'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { divided, visibleCurves, visiblePixel } from './surface-curves'

export function PhotoMark({ mark, photoId, fit, view, frame, colours }: { mark: BenchMark; photoId: string; fit: Fit | null; view: View; frame: Size; colours: SteelColours }) {
  const own = mark.drawn?.photoId === photoId ? mark.drawn.pixels : null
  const place = ([u, v]: readonly [number, number]) => toScreen(view, { x: u, y: v })
  const knobs: (ScreenPoint | null)[] = own
    ? own.map(place)
    : (mark.vertices ?? []).map((vertex) => {
        const seen = fit && visiblePixel(fit.surface, fit.camera, vertex)
        return seen ? place([seen.u, seen.v]) : null
      })
  const lines = own && !(fit && mark.vertices) ? [own.map(place)] : linesOf(mark, fit).map((line) => line.map(({ u, v }) => place([u, v])))
  const shown = lines.length > 0 ? lines : own ? [own.map(place)] : []
  const last = shown.at(-1)
  if (!last) return null
  return (
    <Group>
      {shown.map((points, index) => (
        <MarkLine key={`${index}`} points={points} concern={mark.concern} closed={mark.closed && own !== null && !fit} colours={colours} />
      ))}
      {mark.open ? knobs.map((at, index) => (at ? <VertexKnob key={`${index}`} at={at} chosen={mark.chosenVertex === index} colours={colours} /> : null)) : null}
      <LetterPlate at={besideLine(last, { x: 0, y: 0 }, { clipWidth: frame.width, clipHeight: frame.height })} letter={mark.letter} chosen={mark.chosen} colours={colours} />
    </Group>
  )
}

function linesOf(mark: BenchMark, fit: Fit | null) {
  if (!fit || !mark.vertices) return []
  if (mark.vertices.length === 1) {
    const seen = visiblePixel(fit.surface, fit.camera, mark.vertices[0] as { theta: number; s: number })
    return seen ? [[seen]] : []
  }
  return visibleCurves(fit.surface, fit.camera, divided(mark.vertices, mark.closed, fit.surface.radius))
}

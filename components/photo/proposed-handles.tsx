'use client'
/** A proposal on its photograph: what it would make of the journal in thin dashes, its points as open squares. Unfinished until it is accepted. */
import { useMemo } from 'react'
import { Group, Line, Rect } from 'react-konva'
import { allHandles, handlePixel } from '@/components/editor/tools/handles'
import type { SteelColours } from '@/components/map/steel-colours'
import { flatten, SteelText } from '@/components/map/steel-line'
import { toScreen, type View } from '@/components/map/view'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import { fitPhoto } from '@/lib/photo/cylinder-fit'
import type { LensData } from '@/lib/photo/lens-priors'
import type { Proposal } from '@/lib/photo/propose'
import { ringCurve, sideCurves } from './surface-curves'

export function ProposedHandles({
  proposal,
  journal,
  photo,
  lens,
  view,
  colours,
}: {
  proposal: Proposal
  journal: Journal
  photo: Photo
  lens: LensData | null
  view: View
  colours: SteelColours
}) {
  const { handles } = proposal
  const curves = useMemo(() => {
    const fit = fitPhoto(journal, { ...photo, handles }, lens)
    if (!fit.ok) return []
    const { surface, camera, slideKnown } = fit.value
    const rings = slideKnown ? [surface.frontTangentS, surface.rearTangentS].flatMap((s) => ringCurve(surface, camera, s)) : []
    return [...sideCurves(surface, camera), ...rings]
  }, [journal, photo, lens, handles])
  const points = allHandles(handles).flatMap((ref) => {
    const pixel = handlePixel(handles, ref)
    return pixel ? [toScreen(view, { x: pixel[0], y: pixel[1] })] : []
  })
  const top = points.reduce((best, point) => (best && best.y < point.y ? best : point), points[0])
  return (
    <Group>
      {curves.map((curve, index) => {
        const screen = flatten(curve.map(({ u, v }) => toScreen(view, { x: u, y: v })))
        return (
          // biome-ignore lint/suspicious/noArrayIndexKey: the curves of one fit stand in a fixed order
          <Group key={index}>
            <Line points={screen} stroke={colours.halo} strokeWidth={2.6} opacity={0.7} dash={[7, 6]} />
            <Line points={screen} stroke={colours.dye} strokeWidth={1.1} dash={[7, 6]} />
          </Group>
        )
      })}
      {points.map(({ x, y }) => (
        <Group key={`${x} ${y}`}>
          <Rect x={x - 4} y={y - 4} width={8} height={8} stroke={colours.halo} strokeWidth={3} opacity={0.8} />
          <Rect x={x - 4} y={y - 4} width={8} height={8} stroke={colours.dye} strokeWidth={1.1} dash={[3, 2]} />
        </Group>
      ))}
      {top ? <SteelText at={{ x: top.x, y: top.y - 18 }} text="proposed" align="center" colours={colours} size={14} /> : null}
    </Group>
  )
}

'use client'
/** What a held point has caught: a ring about it and the word, on the picture and in the loupe. */
import { Circle } from 'react-konva'
import type { SteelColours } from '@/components/map/steel-colours'
import { SteelText } from '@/components/map/steel-line'
import { toScreen, type View } from '@/components/map/view'
import type { Caught } from './snap-gesture'

export function SnapSign({ caught, view, colours }: { caught: Caught; view: View; colours: SteelColours }) {
  if (!caught) return null
  const { x, y } = toScreen(view, caught.at)
  return (
    <>
      <Circle x={x} y={y} radius={7} stroke={colours.halo} strokeWidth={3.2} opacity={0.8} />
      <Circle x={x} y={y} radius={7} stroke={colours.dye} strokeWidth={1.4} />
      <SteelText at={{ x: x + 14, y: y + 12 }} text={caught.word} align="left" colours={colours} size={13} />
    </>
  )
}

'use client'
/** The loupe: the point of the needle four times nearer, at the top, on the side away from the hand. */
import type { ReactNode } from 'react'
import { Circle, Group, Line, Rect } from 'react-konva'
import type { Scriber } from './picture-pointer'
import type { SteelColours } from './steel-colours'
import type { Size, View } from './view'

export const loupeNearer = 4
const margin = 12

export function Loupe({
  scriber,
  view,
  frame,
  scene,
  colours,
}: {
  scriber: Scriber
  view: View
  frame: Size
  scene: (view: View, frame: Size) => ReactNode
  colours: SteelColours
}) {
  const radius = Math.max(48, Math.min(78, frame.width / 5, frame.height / 3.4))
  const hand = scriber.tip.x < frame.width / 2 ? 'left' : 'right'
  const middle = { x: hand === 'left' ? frame.width - radius - margin : radius + margin, y: radius + margin }
  const inLoupe: View = {
    scale: view.scale * loupeNearer,
    x: middle.x - (scriber.tip.x - view.x) * loupeNearer,
    y: middle.y - (scriber.tip.y - view.y) * loupeNearer,
  }
  const clip = (context: { arc: (x: number, y: number, radius: number, from: number, to: number) => void }) =>
    context.arc(middle.x, middle.y, radius, 0, 2 * Math.PI)
  const arms = [
    [-radius, 0, -6, 0],
    [6, 0, radius, 0],
    [0, -radius, 0, -6],
    [0, 6, 0, radius],
  ]
  return (
    <>
      <Group clipFunc={clip}>
        <Rect width={frame.width} height={frame.height} fill="#3a3a39" />
        {scene(inLoupe, frame)}
        {arms.map((points) => (
          <Group key={points.join()} x={middle.x} y={middle.y}>
            <Line points={points} stroke={colours.halo} strokeWidth={3.4} opacity={0.8} />
            <Line points={points} stroke={colours.ink} strokeWidth={1.1} />
          </Group>
        ))}
      </Group>
      <Circle x={middle.x} y={middle.y} radius={radius + 4} stroke={colours.ink} strokeWidth={10} />
      <Circle x={middle.x} y={middle.y} radius={radius + 4} stroke={colours.halo} strokeWidth={7} />
      <Circle x={middle.x} y={middle.y} radius={radius + 4} stroke={colours.ink} strokeWidth={5} dash={[1, 5]} />
    </>
  )
}

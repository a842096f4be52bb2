'use client'
/** Lines on steel, each with its pale halo: marks by their concern, dimension lines, plates with letters and values. */
import { Circle, Group, Line, Rect, Text } from 'react-konva'
import type { MarkConcern } from '@/lib/model/findings'
import { letterPlate, valuePlate } from './plates'
import type { SteelColours } from './steel-colours'
import type { ScreenPoint } from './view'

export type Stroke = { width: number; colour: string; dash?: number[]; round?: boolean; closed?: boolean }

export function HaloLine({
  points,
  width,
  colour,
  halo,
  dash,
  round = false,
  closed = false,
}: Stroke & { points: readonly ScreenPoint[]; halo: string }) {
  const flat = flatten(points)
  const shared = {
    points: flat,
    listening: false,
    closed,
    lineJoin: 'round' as const,
    lineCap: round ? ('round' as const) : ('butt' as const),
  }
  return (
    <>
      <Line {...shared} stroke={halo} strokeWidth={width + 3} opacity={0.92} />
      <Line {...shared} stroke={colour} strokeWidth={width} dash={dash} />
    </>
  )
}

/** A mark: its concern by line style and ends first, colour last. No concern: not judged yet, thin and without ends. */
export function MarkLine({
  points,
  concern,
  closed,
  colours,
  size = 1,
}: {
  points: readonly ScreenPoint[]
  concern: MarkConcern | null
  closed: boolean
  colours: SteelColours
  size?: number
}) {
  const first = points[0]
  const last = points.at(-1)
  if (!first || !last) return null
  if (points.length === 1) return <RingEnd at={first} colour={colours.dye} halo={colours.halo} size={size} />
  const style = styleOf(concern, colours, size)
  return (
    <>
      <HaloLine points={points} {...style} closed={closed} halo={colours.halo} />
      {closed ? null : concern === 'treat-as-cracked' ? (
        <>
          <CrossBar at={first} from={points[1] ?? last} colour={colours.cracked} halo={colours.halo} size={size} />
          <CrossBar at={last} from={points.at(-2) ?? first} colour={colours.cracked} halo={colours.halo} size={size} />
        </>
      ) : concern === 'hold' ? (
        <>
          <RingEnd at={first} colour={colours.hold} halo={colours.halo} size={size} />
          <RingEnd at={last} colour={colours.hold} halo={colours.halo} size={size} />
        </>
      ) : null}
    </>
  )
}

function styleOf(concern: MarkConcern | null, colours: SteelColours, size: number): Stroke {
  switch (concern) {
    case 'treat-as-cracked':
      return { width: 3.2 * size, colour: colours.cracked }
    case 'hold':
      return { width: 2.6 * size, colour: colours.hold, dash: [11 * size, 5 * size] }
    case 'record':
      return { width: 3 * size, colour: colours.record, dash: [0.1, 6 * size], round: true }
    case null:
      return { width: 1.6 * size, colour: colours.dye }
  }
}

function CrossBar({ at, from, colour, halo, size }: { at: ScreenPoint; from: ScreenPoint; colour: string; halo: string; size: number }) {
  const length = Math.hypot(at.x - from.x, at.y - from.y) || 1
  const half = 8 * size
  const across = { x: (-(at.y - from.y) / length) * half, y: ((at.x - from.x) / length) * half }
  const ends = [
    { x: at.x - across.x, y: at.y - across.y },
    { x: at.x + across.x, y: at.y + across.y },
  ]
  return <HaloLine points={ends} width={3 * size} colour={colour} halo={halo} />
}

function RingEnd({ at, colour, halo, size }: { at: ScreenPoint; colour: string; halo: string; size: number }) {
  return (
    <>
      <Circle x={at.x} y={at.y} radius={4.6 * size} stroke={halo} strokeWidth={5 * size} listening={false} />
      <Circle x={at.x} y={at.y} radius={4.6 * size} stroke={colour} strokeWidth={2.2 * size} fill={halo} listening={false} />
    </>
  )
}

/** A plate with a mark's letter: filled where the mark is chosen. */
export function LetterPlate({ at, letter, chosen, colours }: { at: ScreenPoint; letter: string; chosen: boolean; colours: SteelColours }) {
  const { width, height } = letterPlate(letter)
  return (
    <Group x={at.x} y={at.y} listening={false}>
      <Rect
        width={width}
        height={height}
        offsetX={width / 2}
        offsetY={height / 2}
        fill={chosen ? colours.dye : colours.halo}
        stroke={chosen ? colours.halo : colours.ink}
        strokeWidth={1.2}
      />
      <Text
        text={letter}
        width={width}
        height={height}
        offsetX={width / 2}
        offsetY={height / 2 - 0.5}
        align="center"
        verticalAlign="middle"
        fontFamily={colours.face}
        fontStyle="700"
        fontSize={15}
        fill={chosen ? colours.halo : colours.ink}
      />
    </Group>
  )
}

/** A value at its dimension line: white plate, unit and plus-minus. */
export function ValuePlate({ at, text, colours }: { at: ScreenPoint; text: string; colours: SteelColours }) {
  const { width, height } = valuePlate(text)
  return (
    <Group x={at.x} y={at.y} listening={false}>
      <Rect
        width={width}
        height={height}
        offsetX={width / 2}
        offsetY={height / 2}
        fill={colours.halo}
        stroke={colours.ink}
        strokeWidth={0.9}
      />
      <Text
        text={text}
        width={width}
        height={height}
        offsetX={width / 2}
        offsetY={height / 2 - 0.5}
        align="center"
        verticalAlign="middle"
        fontFamily={colours.face}
        fontStyle="600"
        fontSize={15}
        fill={colours.ink}
      />
    </Group>
  )
}

/** A dimension line with arrowheads at both ends. */
export function DimensionLine({ from, to, colours }: { from: ScreenPoint; to: ScreenPoint; colours: SteelColours }) {
  const length = Math.hypot(to.x - from.x, to.y - from.y)
  if (length < 2) return null
  const head = Math.min(9, length / 3)
  return (
    <>
      <HaloLine points={[from, to]} width={1.3} colour={colours.ink} halo={colours.halo} />
      <ArrowHead tip={to} from={from} size={head} colour={colours.ink} />
      <ArrowHead tip={from} from={to} size={head} colour={colours.ink} />
    </>
  )
}

export function ArrowHead({ tip, from, size, colour }: { tip: ScreenPoint; from: ScreenPoint; size: number; colour: string }) {
  const angle = Math.atan2(tip.y - from.y, tip.x - from.x)
  const back = (turn: number) => [tip.x - size * Math.cos(angle + turn), tip.y - size * Math.sin(angle + turn)]
  return <Line points={[tip.x, tip.y, ...back(0.32), ...back(-0.32)]} closed fill={colour} listening={false} />
}

/** Words on steel: light, with a dark edge, readable on bright and dark metal. */
export function SteelText({
  at,
  text,
  colours,
  align = 'left',
  rotation = 0,
  size = 14,
}: {
  at: ScreenPoint
  text: string
  colours: SteelColours
  align?: 'left' | 'right' | 'center'
  rotation?: number
  size?: number
}) {
  const width = 260
  const offsetX = align === 'left' ? 0 : align === 'right' ? width : width / 2
  return (
    <Text
      x={at.x}
      y={at.y}
      text={text}
      width={width}
      offsetX={offsetX}
      offsetY={size / 2}
      align={align}
      rotation={rotation}
      fontFamily={colours.face}
      fontStyle="600"
      fontSize={size}
      fill={colours.halo}
      stroke={colours.ink}
      strokeWidth={2.6}
      fillAfterStrokeEnabled
      lineJoin="round"
      listening={false}
    />
  )
}

export function flatten(points: readonly ScreenPoint[]): number[] {
  return points.flatMap(({ x, y }) => [x, y])
}

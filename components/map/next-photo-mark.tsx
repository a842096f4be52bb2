'use client'
/** The next picture on the map: what it would show, dashed, and from which side one looks: an arrow into the fillet, or a crossed ring for square on. */
import type { ReactNode } from 'react'
import { Circle, Line } from 'react-konva'
import type { NextPhoto } from '@/lib/photo/next-photo'
import { type MapSheet, onSheet, turned, turnsToDraw } from './map-sheet'
import type { SteelColours } from './steel-colours'
import { ArrowHead, HaloLine, SteelText } from './steel-line'
import { type ScreenPoint, toScreen, type View } from './view'

export type TakeAdvice = Extract<NextPhoto, { kind: 'take' }>

export function NextPhotoMark({ next, sheet, view, colours }: { next: TakeAdvice; sheet: MapSheet; view: View; colours: SteelColours }) {
  const { totalS } = sheet.surface
  const facing = (next.standpoint.facingDeg * Math.PI) / 180
  const lean = Math.sign(next.standpoint.leanDeg)
  return turnsToDraw(next.outline).map((turns) => {
    const at = (share: number) => toScreen(view, onSheet(sheet, { theta: facing + turns * 2 * Math.PI, s: share * totalS }))
    const outline = turned(next.outline, turns).map((point) => toScreen(view, onSheet(sheet, point)))
    return (
      <Outlined key={turns} outline={outline} colours={colours}>
        {lean === 0 ? (
          <CrossedRing at={at(0.5)} colours={colours} />
        ) : (
          <LookingArrow from={at(lean > 0 ? 0.72 : 0.28)} to={at(lean > 0 ? 0.16 : 0.84)} colours={colours} />
        )}
        <SteelText at={wordsAt(sheet, lean === 0 ? at(0.5) : at(lean > 0 ? 0.72 : 0.28))} text="next picture" colours={colours} />
      </Outlined>
    )
  })
}

function Outlined({ outline, colours, children }: { outline: ScreenPoint[]; colours: SteelColours; children: ReactNode }) {
  return (
    <>
      <HaloLine points={outline} width={1.4} colour={colours.ink} halo={colours.halo} dash={[7, 5]} closed />
      {children}
    </>
  )
}

/** An arrow into the picture's plane, as a draughtsman draws it. */
function CrossedRing({ at, colours }: { at: ScreenPoint; colours: SteelColours }) {
  const arm = 9 * Math.SQRT1_2
  return (
    <>
      <Circle x={at.x} y={at.y} radius={9} stroke={colours.halo} strokeWidth={5} listening={false} />
      <Circle x={at.x} y={at.y} radius={9} stroke={colours.ink} strokeWidth={2} fill={colours.halo} listening={false} />
      {[1, -1].map((hand) => (
        <Line
          key={hand}
          points={[at.x - arm, at.y - hand * arm, at.x + arm, at.y + hand * arm]}
          stroke={colours.ink}
          strokeWidth={2}
          listening={false}
        />
      ))}
    </>
  )
}

function LookingArrow({ from, to, colours }: { from: ScreenPoint; to: ScreenPoint; colours: SteelColours }) {
  return (
    <>
      <HaloLine points={[from, to]} width={2.4} colour={colours.ink} halo={colours.halo} />
      <ArrowHead tip={to} from={from} size={15} colour={colours.ink} />
    </>
  )
}

function wordsAt(sheet: MapSheet, { x, y }: ScreenPoint): ScreenPoint {
  return sheet.lay === 'rear-up' ? { x: x + 14, y } : { x: x + 4, y: y + 16 }
}

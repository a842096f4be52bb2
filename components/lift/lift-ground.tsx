'use client'
/** A lift's picture under what is drawn on it. */
import { memo } from 'react'
import { Image as KonvaImage, Rect } from 'react-konva'
import type { SteelColours } from '@/components/map/steel-colours'
import { toScreen, type View } from '@/components/map/view'
import type { Lift } from '@/lib/model/lift'

export const LiftGround = memo(function LiftGround({
  lift,
  image,
  view,
  colours,
}: {
  lift: Lift
  image: ImageBitmap | null
  view: View
  colours: SteelColours
}) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const box = { x: corner.x, y: corner.y, width: lift.width * view.scale, height: lift.height * view.scale }
  return (
    <>
      {image ? <KonvaImage {...box} image={image} /> : <Rect {...box} fill="#54585a" />}
      {colours.photoLight < 1 ? <Rect {...box} fill="#000000" opacity={1 - colours.photoLight} /> : null}
    </>
  )
})

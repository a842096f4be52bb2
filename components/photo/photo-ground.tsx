'use client'
/** What lies under the marks of a photograph and seldom changes: the picture, what is left out, the fitted journal. */
import { memo } from 'react'
import { Image as KonvaImage, Rect } from 'react-konva'
import { Each } from '@/components/map/each'
import type { SteelColours } from '@/components/map/steel-colours'
import { toScreen, type View } from '@/components/map/view'
import type { Journal } from '@/lib/model/journal'
import type { Photo } from '@/lib/model/photo'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { FitOverlay } from './fit-overlay'
import { LeftOut } from './left-out'

export type PhotoGroundProps = {
  photo: Photo
  image: ImageBitmap | null
  journal: Journal
  /** Drawn over the picture with layout blue; null: none yet, or drawn by the one who fits it. */
  fit: Fit | null
  view: View
  colours: SteelColours
}

export const PhotoGround = memo(function PhotoGround({ photo, image, journal, fit, view, colours }: PhotoGroundProps) {
  const corner = toScreen(view, { x: 0, y: 0 })
  const box = { x: corner.x, y: corner.y, width: photo.width * view.scale, height: photo.height * view.scale }
  return (
    <>
      {image ? <KonvaImage {...box} image={image} /> : <Rect {...box} fill="#54585a" />}
      {colours.photoLight < 1 ? <Rect {...box} fill="#000000" opacity={1 - colours.photoLight} /> : null}
      <Each of={photo.ignore}>
        {(outline) => <LeftOut points={outline.map(([u, v]) => toScreen(view, { x: u, y: v }))} colours={colours} closed />}
      </Each>
      {fit ? <FitOverlay journal={journal} fit={fit} view={view} colours={colours} bands /> : null}
    </>
  )
})

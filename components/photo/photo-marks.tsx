'use client'
/** The marks on a photograph with their letters. */
import type { BenchMark } from '@/components/map/bench-mark'
import { letterPlaces } from '@/components/map/letter-places'
import type { SteelColours } from '@/components/map/steel-colours'
import { LetterPlate } from '@/components/map/steel-line'
import type { Size, View } from '@/components/map/view'
import type { Fit } from '@/lib/photo/cylinder-fit'
import { PhotoMark, photoLines } from './photo-mark'

export function PhotoMarks({
  photoId,
  fit,
  marks,
  view,
  frame,
  colours,
}: {
  photoId: string
  fit: Fit | null
  marks: readonly BenchMark[]
  view: View
  frame: Size
  colours: SteelColours
}) {
  const lines = marks.map((mark) => ({
    points: photoLines(mark, photoId, fit, view).at(-1) ?? [],
    letter: mark.letter,
    chosen: mark.chosen,
  }))
  const places = letterPlaces(lines, { x: 0, y: 0, ...frame })
  return (
    <>
      {marks.map((mark) => (
        <PhotoMark key={mark.rowId} mark={mark} photoId={photoId} fit={fit} view={view} colours={colours} />
      ))}
      {marks.map((mark, index) => {
        const at = places[index]
        return at ? <LetterPlate key={mark.rowId} at={at} letter={mark.letter} chosen={mark.chosen} colours={colours} /> : null
      })}
    </>
  )
}

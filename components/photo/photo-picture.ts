'use client'
/** A photograph's picture from the server: a preview at first, the full size once one goes near enough to need it. */
import { useCallback, useEffect, useState } from 'react'

/** The widths in which the server makes previews. */
export type PreviewWidth = 320 | 800 | 1600 | 2400 | 'full'

/** What the picture belongs to: a photograph of a journal, or a flat lift. */
export type PictureOf = 'photos' | 'lifts'

export function previewPath(row: string, width: PreviewWidth, of: PictureOf = 'photos'): string {
  return `/api/${of}/${row}/preview?width=${width}`
}

/** The smallest preview that still gives each of so many screen px across the photograph its own. */
export function previewFor(photoWidth: number, shownWidth: number): PreviewWidth {
  const made = ([800, 1600, 2400] as const).find((width) => width >= shownWidth)
  return made ?? (photoWidth > 2400 ? 'full' : 2400)
}

/** Screen px: a photograph is never fetched smaller for looking at. */
const leastShown = 1600

export type PictureState = { image: ImageBitmap | null; failed: boolean }

/**
 * The decoded picture. A wider one takes the place of the narrower when it has come; it is never taken back.
 * @param photoWidth px of the original, which `onNearness` (screen px for one of them) asks for once one goes near enough
 * @param sha256 of the kept original; another one is another picture. Empty: none is kept.
 */
export function usePhotoPicture(
  photoRow: string,
  photoWidth: number,
  sha256: string,
  of: PictureOf = 'photos',
): PictureState & { onNearness: (scale: number) => void } {
  const [width, setWidth] = useState(() => previewFor(photoWidth, leastShown))
  const onNearness = useCallback(
    (scale: number) => setWidth(previewFor(photoWidth, Math.max(leastShown, photoWidth * scale * window.devicePixelRatio))),
    [photoWidth],
  )
  const picture = `${photoRow}:${sha256}`
  const [state, setState] = useState<PictureState & { picture: string; wide: number }>({ picture: '', wide: 0, image: null, failed: false })
  const current = state.picture === picture
  // something to look at first, soon
  const next = current && state.image ? width : previewFor(photoWidth, leastShown)
  const wide = next === 'full' ? Number.POSITIVE_INFINITY : next
  const enough = current && state.image !== null && state.wide >= wide
  useEffect(() => {
    if (enough) return
    const stop = new AbortController()
    loadBitmap(previewPath(photoRow, next, of), stop.signal).then(
      (image) => setState({ picture, wide, image, failed: false }),
      () => {
        if (!stop.signal.aborted)
          setState((before) => (before.picture === picture && before.image ? before : { picture, wide: 0, image: null, failed: true }))
      },
    )
    return () => stop.abort()
  }, [photoRow, picture, next, wide, enough, of])
  return { image: current ? state.image : null, failed: current && state.failed, onNearness }
}

export async function loadBitmap(path: string, signal: AbortSignal): Promise<ImageBitmap> {
  const answer = await fetch(path, { signal })
  if (!answer.ok) throw new Error(`no picture: ${answer.status}`)
  return createImageBitmap(await answer.blob())
}

'use client'
/** A photograph's picture from the server: a preview at first, the full size once one goes near enough to need it. */
import { useEffect, useState } from 'react'

/** The widths in which the server makes previews. */
export type PreviewWidth = 320 | 800 | 1600 | 2400 | 'full'

export function previewPath(photoRow: string, width: PreviewWidth): string {
  return `/api/photos/${photoRow}/preview?width=${width}`
}

/** The smallest preview that still gives a screen pixel its own. */
export function previewFor(photoWidth: number, shownWidth: number): PreviewWidth {
  const wanted = shownWidth * (typeof window === 'undefined' ? 1 : window.devicePixelRatio)
  const made = ([800, 1600, 2400] as const).find((width) => width >= wanted)
  return made ?? (photoWidth > 2400 ? 'full' : 2400)
}

export type PictureState = { image: ImageBitmap | null; failed: boolean }

/**
 * The decoded picture. A wider one takes the place of the narrower when it has come; it is never taken back.
 * @param sha256 of the kept original; another one is another picture. Empty: none is kept.
 */
export function usePhotoPicture(photoRow: string, width: PreviewWidth, sha256: string): PictureState {
  const picture = `${photoRow}:${sha256}`
  const [state, setState] = useState<PictureState & { picture: string; wide: number }>({ picture: '', wide: 0, image: null, failed: false })
  const wide = width === 'full' ? Number.POSITIVE_INFINITY : width
  const current = state.picture === picture
  const enough = current && state.image !== null && state.wide >= wide
  useEffect(() => {
    if (enough) return
    const stop = new AbortController()
    loadBitmap(previewPath(photoRow, width), stop.signal).then(
      (image) => setState({ picture, wide, image, failed: false }),
      () => {
        if (!stop.signal.aborted)
          setState((before) => (before.picture === picture && before.image ? before : { picture, wide: 0, image: null, failed: true }))
      },
    )
    return () => stop.abort()
  }, [photoRow, picture, width, wide, enough])
  return current ? state : { image: null, failed: false }
}

export async function loadBitmap(path: string, signal: AbortSignal): Promise<ImageBitmap> {
  const answer = await fetch(path, { signal })
  if (!answer.ok) throw new Error(`no picture: ${answer.status}`)
  return createImageBitmap(await answer.blob())
}

'use client'
/** Whether the screen is a phone's: narrower than the desk's layout can be. */
import { useSyncExternalStore } from 'react'

const query = '(max-width: 700px)'

export function useNarrow(): boolean {
  return useSyncExternalStore(
    subscribe,
    () => window.matchMedia(query).matches,
    () => false,
  )
}

function subscribe(changed: () => void): () => void {
  const media = window.matchMedia(query)
  media.addEventListener('change', changed)
  return () => media.removeEventListener('change', changed)
}

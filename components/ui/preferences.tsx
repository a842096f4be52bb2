'use client'
/** What a person set on this device: mm or inch, bright or dim. Kept in the browser's storage, alike in all its windows. */
import { useSyncExternalStore } from 'react'
import type { Units } from '@/lib/model/inspection'

export type Light = 'bright' | 'dim'
export type Preferences = { units: Units; light: Light }

export const unitsKey = 'throwmark:units'
export const lightKey = 'throwmark:light'
const changedEvent = 'throwmark:preferences'
const atFirst: Preferences = { units: 'mm', light: 'bright' }
let last: Preferences = atFirst

/** The units that lengths are shown and read in. Millimetres until the page has come alive. */
export function useUnits(): Units {
  return usePreferences().units
}

export function usePreferences(): Preferences {
  return useSyncExternalStore(subscribe, read, () => atFirst)
}

export function setUnits(units: Units) {
  write(unitsKey, units)
}

export function setLight(light: Light) {
  write(lightKey, light)
  document.documentElement.dataset.light = light
}

/** Runs before the first paint, so that a dim screen never flashes bright. */
export const lightScript = `try{var l=localStorage.getItem('${lightKey}');if(l==='dim')document.documentElement.dataset.light='dim'}catch(e){}`

function write(key: string, value: string) {
  try {
    localStorage.setItem(key, value)
  } catch {
    // Storage forbidden: the choice holds until the page is left.
  }
  last = key === unitsKey ? { ...last, units: value as Units } : { ...last, light: value as Light }
  window.dispatchEvent(new Event(changedEvent))
}

function read(): Preferences {
  let { units, light } = last
  try {
    const keptUnits = localStorage.getItem(unitsKey)
    if (keptUnits === 'mm' || keptUnits === 'in') units = keptUnits
    const keptLight = localStorage.getItem(lightKey)
    if (keptLight === 'bright' || keptLight === 'dim') light = keptLight
  } catch {
    // As above.
  }
  if (units !== last.units || light !== last.light) last = { units, light }
  return last
}

function subscribe(changed: () => void): () => void {
  const fromAnotherWindow = () => {
    changed()
    document.documentElement.dataset.light = read().light
  }
  window.addEventListener(changedEvent, changed)
  window.addEventListener('storage', fromAnotherWindow)
  return () => {
    window.removeEventListener(changedEvent, changed)
    window.removeEventListener('storage', fromAnotherWindow)
  }
}

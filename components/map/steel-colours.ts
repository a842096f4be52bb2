'use client'
/** The colours of lines on steel for a canvas, which reads no style sheet: taken from the tokens, again when the light changes. */
import { useEffect, useState } from 'react'
import { usePreferences } from '@/components/ui/preferences'

export type SteelColours = {
  halo: string
  cracked: string
  hold: string
  record: string
  dye: string
  scribe: string
  ink: string
  press: string
  sheet: string
  edge: string
  /** Share of light that a photograph keeps: 1 in a bright workshop, 0.62 in dim light. */
  photoLight: number
  face: string
}

const bright: SteelColours = {
  halo: '#ffffff',
  cracked: '#86120d',
  hold: '#4d2f00',
  record: '#1f2a31',
  dye: '#2a34a0',
  scribe: '#ffffff',
  ink: '#13202a',
  press: '#2b3590',
  sheet: '#f5f7f6',
  edge: '#66757e',
  photoLight: 1,
  face: 'sans-serif',
}

export function useSteelColours(): SteelColours {
  const { light } = usePreferences()
  const [colours, setColours] = useState(bright)
  // biome-ignore lint/correctness/useExhaustiveDependencies: the tokens change with the light
  useEffect(() => setColours(readTokens()), [light])
  return colours
}

function readTokens(): SteelColours {
  const style = getComputedStyle(document.documentElement)
  const token = (name: string, otherwise: string) => style.getPropertyValue(name).trim() || otherwise
  return {
    halo: token('--on-steel-halo', bright.halo),
    cracked: token('--on-steel-cracked', bright.cracked),
    hold: token('--on-steel-hold', bright.hold),
    record: token('--on-steel-record', bright.record),
    dye: token('--on-steel-dye', bright.dye),
    scribe: token('--on-steel-scribe', bright.scribe),
    ink: bright.ink,
    press: bright.press,
    sheet: token('--sheet', bright.sheet),
    edge: token('--edge', bright.edge),
    photoLight: Number(token('--photo-light', '1')),
    face: token('--face-cut', bright.face),
  }
}

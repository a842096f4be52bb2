'use client'
/** The foot of every page: what the program does not do, the cautions, the keys. */
import Link from 'next/link'
import { useEffect, useRef } from 'react'
import { setLight, setUnits, usePreferences } from './preferences'
import { LightSwitch } from './switches'

const keys: [string, string][] = [
  ['U', 'millimetres or inches'],
  ['L', 'bright or dim'],
  ['/', 'find a shaft, on the first page'],
  ['?', 'these keys'],
  ['Enter', 'sizes: keep the reading and go on'],
  ['1 – 5', 'bench: the tools'],
  ['Tab', 'bench: next mark or handle'],
  ['Arrows', 'bench: 0.1 mm or 0.1°, with Shift ten times'],
  ['Enter, Esc, Del', 'bench: keep, give up, remove'],
  [', and .', 'bench: journal before, journal after'],
  ['+ − 0', 'bench: nearer, further, whole turn'],
  ['N', 'bench: next step'],
]

export function Foot() {
  const list = useRef<HTMLDetailsElement>(null)
  const preferences = usePreferences()

  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey || isTyping(event.target)) return
      if (event.key === 'u') setUnits(preferences.units === 'mm' ? 'in' : 'mm')
      else if (event.key === 'l') setLight(preferences.light === 'bright' ? 'dim' : 'bright')
      else if (event.key === '?' && list.current) {
        list.current.open = !list.current.open
        list.current.querySelector('summary')?.focus()
      } else return
      event.preventDefault()
    }
    window.addEventListener('keydown', press)
    return () => window.removeEventListener('keydown', press)
  }, [preferences])

  return (
    <footer className="foot">
      <span>
        Nothing here clears a shaft. Marks are what a person drew; this is no crack test. A qualified person decides by the engine maker’s
        limits.
      </span>
      <Link href="/cautions">Cautions</Link>
      <details ref={list}>
        <summary>
          Keys&nbsp;<kbd>?</kbd>
        </summary>
        <dl className="keys">
          {keys.map(([key, does]) => (
            <div key={key + does} style={{ display: 'contents' }}>
              <dt>
                <kbd>{key}</kbd>
              </dt>
              <dd>{does}</dd>
            </div>
          ))}
        </dl>
      </details>
      <div className="foot-light">
        <LightSwitch />
      </div>
    </footer>
  )
}

/** Letters belong to the field a person types in. */
export function isTyping(target: EventTarget | null): boolean {
  return target instanceof HTMLElement && (target.isContentEditable || ['INPUT', 'TEXTAREA', 'SELECT'].includes(target.tagName))
}

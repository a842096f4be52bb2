'use client'
/** A row of stops, one of them set, like a detent on a dial: a radio group. Arrow keys move, Home and End go to the ends. */
import { type KeyboardEvent, type ReactNode, useRef } from 'react'

export type Stop<Value extends string> = { value: Value; label: ReactNode; spoken?: string }

export function Stops<Value extends string>({
  label,
  stops,
  value,
  onChange,
  wraps = false,
}: {
  /** Spoken name of the group. */
  label: string
  stops: readonly Stop<Value>[]
  /** null: none is set yet. */
  value: Value | null
  onChange: (value: Value) => void
  wraps?: boolean
}) {
  const group = useRef<HTMLDivElement>(null)
  const place = stops.findIndex((stop) => stop.value === value)

  function move(event: KeyboardEvent) {
    const next = nextPlace(event.key, place, stops.length)
    const stop = next === null ? undefined : stops[next]
    if (next === null || !stop) return
    event.preventDefault()
    event.stopPropagation()
    onChange(stop.value)
    group.current?.querySelectorAll<HTMLElement>('[role=radio]')[next]?.focus()
  }

  return (
    <div ref={group} className={wraps ? 'stops wraps' : 'stops'} role="radiogroup" aria-label={label} onKeyDown={move}>
      {stops.map((stop, index) => (
        // biome-ignore lint/a11y/useSemanticElements: a native radio cannot carry the stop's look and its 44 px target alike in all browsers
        <button
          key={stop.value}
          type="button"
          role="radio"
          className="stop"
          aria-checked={stop.value === value}
          aria-label={stop.spoken}
          tabIndex={index === Math.max(place, 0) ? 0 : -1}
          onClick={() => onChange(stop.value)}
        >
          {stop.label}
        </button>
      ))}
    </div>
  )
}

function nextPlace(key: string, place: number, count: number): number | null {
  switch (key) {
    case 'ArrowRight':
    case 'ArrowDown':
      return (place + 1) % count
    case 'ArrowLeft':
    case 'ArrowUp':
      return (Math.max(place, 0) - 1 + count) % count
    case 'Home':
      return 0
    case 'End':
      return count - 1
    default:
      return null
  }
}

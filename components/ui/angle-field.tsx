'use client'
/** An angle in degrees: a plain number, comma or point. */
import { useId, useState } from 'react'
import { FieldFrame } from './field-frame'

export function AngleField({
  label,
  value,
  onChange,
  fault,
  note,
  optional = false,
  onFocus,
}: {
  label: string
  /** Degrees; null: nothing readable yet. */
  value: number | null
  onChange: (angleDeg: number | null) => void
  fault?: string | null
  note?: string
  /** May be left empty: null is then a value and no fault. */
  optional?: boolean
  onFocus?: () => void
}) {
  const id = useId()
  const [typed, setTyped] = useState<string | null>(null)
  const [leftOnce, setLeftOnce] = useState(false)
  const text = typed ?? (value === null ? '' : String(Number(value.toFixed(4))))
  const left = optional && typed?.trim() === ''
  const ownFault = typed !== null && !left && readAngle(typed) === null ? 'This is not an angle. Type degrees such as 90 or 195.5.' : null
  const shownFault = (leftOnce ? ownFault : null) ?? fault ?? null
  return (
    <FieldFrame
      id={id}
      label={label}
      fault={shownFault}
      note={note}
      unit="°"
      input={{
        value: text,
        inputMode: 'decimal',
        onChange: (event) => {
          setTyped(event.target.value)
          setLeftOnce(false)
          onChange(readAngle(event.target.value))
        },
        onFocus: (event) => {
          event.target.select()
          onFocus?.()
        },
        onBlur: () => {
          setLeftOnce(true)
          if (!ownFault) setTyped(null)
        },
      }}
    />
  )
}

function readAngle(text: string): number | null {
  const tidy = text
    .trim()
    .replace(',', '.')
    .replace('−', '-')
    .replace(/\s*(°|deg)$/, '')
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(tidy) ? Number(tidy) : null
}

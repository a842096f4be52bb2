'use client'
/** A line of text with its name above it and its fault below. */
import { type Ref, useId } from 'react'
import { FieldFrame } from './field-frame'

export function TextField({
  label,
  value,
  onChange,
  fault,
  note,
  ref,
}: {
  label: string
  value: string
  onChange: (value: string) => void
  fault?: string | null
  note?: string
  ref?: Ref<HTMLInputElement>
}) {
  const id = useId()
  return (
    <FieldFrame
      id={id}
      label={label}
      fault={fault ?? null}
      note={note}
      input={{ ref, value, onChange: (event) => onChange(event.target.value) }}
    />
  )
}

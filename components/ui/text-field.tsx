'use client'
/** A line of text with its name above it and its fault below. */
import { type Ref, useId } from 'react'

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
  const wordId = `${id}-word`
  return (
    <div className="field">
      <label className="field-name" htmlFor={id}>
        {label}
      </label>
      <div className={fault ? 'box faulty' : 'box'}>
        <input
          ref={ref}
          id={id}
          value={value}
          autoComplete="off"
          aria-invalid={fault ? true : undefined}
          aria-describedby={fault || note ? wordId : undefined}
          onChange={(event) => onChange(event.target.value)}
        />
      </div>
      {fault ? (
        <p className="field-word" id={wordId}>
          {fault}
        </p>
      ) : note ? (
        <p className="note" id={wordId}>
          {note}
        </p>
      ) : null}
    </div>
  )
}

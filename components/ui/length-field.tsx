'use client'
/**
 * A length, typed in mm or inch as a shop writes it. It hands on mm. What cannot be read keeps its text and says why; a value far outside the
 * usual is taken, and asked about with the likely one at hand.
 */
import { type Ref, useId, useState } from 'react'
import { isUsual, likelyLength, type UsualRange } from '@/lib/model/likely-length'
import { formatForField, formatLength, lengthFailureSentence, type LengthKind, parseLength } from '@/lib/model/units'
import { FieldFrame } from './field-frame'
import { useUnits } from './preferences'

export type LengthFieldProps = {
  label: string
  /** mm; null: nothing readable yet. */
  value: number | null
  onChange: (mm: number | null) => void
  /** Fault found beyond this field, such as no room between the fillets. */
  fault?: string | null
  note?: string
  usual?: UsualRange
  kind?: LengthKind
  /** May be left empty: null is then a value and no fault. */
  optional?: boolean
  positive?: boolean
  onFocus?: () => void
  ref?: Ref<HTMLInputElement>
}

export function LengthField({
  label,
  value,
  onChange,
  fault,
  note,
  usual,
  kind = 'length',
  optional = false,
  positive = true,
  onFocus,
  ref,
}: LengthFieldProps) {
  const units = useUnits()
  const id = useId()
  /** The text while a person types; null: the field shows the value. */
  const [typed, setTyped] = useState<string | null>(null)
  const [leftOnce, setLeftOnce] = useState(false)
  /** The value a person said is right, however unusual. */
  const [confirmed, setConfirmed] = useState<number | null>(null)
  const text = typed ?? (value === null ? '' : formatForField(value, units, kind))
  const reading = typed === null ? null : readField(typed, units, optional, positive)
  const ownFault = reading?.fault ?? null
  const shownFault = (leftOnce ? ownFault : null) ?? fault ?? null
  const asks = leftOnce && !ownFault && usual && value !== null && value !== confirmed && !isUsual(value, usual)
  const likely = asks ? likelyLength(value, usual, units) : null

  function take(next: string) {
    setTyped(next)
    setLeftOnce(false)
    onChange(readField(next, units, optional, positive).mm)
  }

  const question = asks
    ? {
        words: likely
          ? `${formatLength(value, units, kind)}? Did you mean ${bothUnits(likely.mm, kind)}?`
          : `${formatLength(value, units, kind)} is far from the usual. Is it right?`,
        answers: (
          <>
            {likely ? (
              <button type="button" className="btn" onClick={() => onChange(likely.mm)}>
                Use {formatLength(likely.mm, units, kind)}
              </button>
            ) : null}
            <button type="button" className="btn flat" onClick={() => setConfirmed(value)}>
              It is right
            </button>
          </>
        ),
      }
    : null

  return (
    <FieldFrame
      id={id}
      label={label}
      fault={shownFault}
      question={question}
      note={note}
      unit={units}
      input={{
        ref,
        value: text,
        inputMode: units === 'mm' ? 'decimal' : 'text',
        onChange: (event) => take(event.target.value),
        onFocus: (event) => {
          event.target.select()
          onFocus?.()
        },
        onBlur: () => {
          setLeftOnce(true)
          if (typed !== null && !ownFault) setTyped(null)
        },
      }}
    />
  )
}

function readField(text: string, units: 'mm' | 'in', optional: boolean, positive: boolean): { mm: number | null; fault: string | null } {
  if (optional && text.trim() === '') return { mm: null, fault: null }
  const parsed = parseLength(text, units)
  if (!parsed.ok) return { mm: null, fault: lengthFailureSentence(parsed.reason, units) }
  if (positive && parsed.value <= 0) return { mm: null, fault: 'This length must be more than 0. Type what the gauge shows.' }
  return { mm: parsed.value, fault: null }
}

function bothUnits(mm: number, kind: LengthKind): string {
  return `${formatLength(mm, 'mm', kind)}, which is ${formatLength(mm, 'in', kind)}`
}

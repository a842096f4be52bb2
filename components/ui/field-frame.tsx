/** The frame that every typed field shares: its name above, the box with its unit, below it the fault, a question, or a note. */
import type { InputHTMLAttributes, ReactNode, Ref } from 'react'

export function FieldFrame({
  id,
  label,
  fault,
  question = null,
  note,
  unit,
  input,
}: {
  /** Of the input; what is said below it takes `${id}-word`. */
  id: string
  label: string
  fault: string | null
  /** What to answer about a value that can be read but is unlikely. */
  question?: { words: string; answers: ReactNode } | null
  note?: string
  unit?: string
  input: InputHTMLAttributes<HTMLInputElement> & { ref?: Ref<HTMLInputElement> }
}) {
  const wordId = `${id}-word`
  return (
    <div className="field">
      <label className="field-name" htmlFor={id}>
        {label}
      </label>
      <div className={fault || question ? 'box faulty' : 'box'}>
        <input
          {...input}
          id={id}
          autoComplete="off"
          aria-invalid={fault ? true : undefined}
          aria-describedby={fault || question || note ? wordId : undefined}
        />
        {unit ? <span className="unit">{unit}</span> : null}
      </div>
      {fault || question ? (
        <p className="field-word" id={wordId}>
          {fault ?? question?.words}
        </p>
      ) : note ? (
        <p className="note" id={wordId}>
          {note}
        </p>
      ) : null}
      {!fault && question ? <div className="field-answers">{question.answers}</div> : null}
    </div>
  )
}

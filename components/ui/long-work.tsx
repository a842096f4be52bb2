'use client'
/** Work that takes its time: a ruled bar, counted, and a way to stop it. */
export function LongWork({
  doing,
  done,
  of,
  meanwhile,
  onStop,
}: {
  /** What is being done: "Laying out pin 3". */
  doing: string
  done: number
  of: number
  /** What a person may do in the meantime. */
  meanwhile?: string
  onStop?: () => void
}) {
  const share = of > 0 ? Math.min(1, done / of) : 0
  return (
    <div>
      <div>{doing}</div>
      <div className="ruled" role="progressbar" aria-label={doing} aria-valuemin={0} aria-valuemax={of} aria-valuenow={done}>
        <span style={{ width: `${share * 100}%` }} />
      </div>
      <div className="note">
        {meanwhile}{' '}
        {onStop ? (
          <button type="button" className="btn flat" onClick={onStop}>
            Stop
          </button>
        ) : null}
      </div>
    </div>
  )
}

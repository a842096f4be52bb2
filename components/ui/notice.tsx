'use client'
/** What is in the way, told in place: heading, sentence, what to do. Never a window over the work. */
import type { ReactNode } from 'react'

export function Notice({
  title,
  children,
  acts,
  weighty = false,
  urgent = false,
}: {
  title: ReactNode
  children?: ReactNode
  acts?: ReactNode
  /** Needs an answer before the work can be relied on. */
  weighty?: boolean
  /** Spoken at once by a screen reader; else at the next pause. */
  urgent?: boolean
}) {
  return (
    <section className={weighty ? 'notice weighty' : 'notice'} role={urgent ? 'alert' : 'status'}>
      <p className="notice-title">{title}</p>
      {children}
      {acts ? <div className="notice-acts">{acts}</div> : null}
    </section>
  )
}

/** A line that bears on safety, said where it matters. */
export function Caution({ children }: { children: ReactNode }) {
  return (
    <p className="caution" role="note">
      {children}
    </p>
  )
}

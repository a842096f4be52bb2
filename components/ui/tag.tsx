/** The work-order tag of manila paper: a job, a finding or its next test. */
import type { ReactNode } from 'react'

export function Tag({ children, job = false }: { children: ReactNode; job?: boolean }) {
  return (
    <span className="tie">
      <span className={job ? 'tag job' : 'tag'}>{children}</span>
    </span>
  )
}

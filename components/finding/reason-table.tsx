'use client'
/** The argument as a table: found, measured, limit, what it speaks for, where the limit comes from. */
import { useUnits } from '@/components/ui/preferences'
import type { MarkFinding } from '@/lib/model/findings'
import styles from './finding-page.module.css'
import { reasonRow } from './reason-words'

export function ReasonTable({ finding }: { finding: MarkFinding }) {
  const units = useUnits()
  return (
    <>
      <table className={styles.reasons}>
        <thead>
          <tr>
            <th scope="col">What was found</th>
            <th scope="col">Measured</th>
            <th scope="col">Limit</th>
            <th scope="col">Speaks</th>
            <th scope="col">Where the limit comes from</th>
          </tr>
        </thead>
        <tbody>
          {finding.reasons.map((reason) => {
            const row = reasonRow(reason, units)
            return (
              <tr key={reason.code + reason.text}>
                <td>{row.found}</td>
                <td>
                  <b>{row.measured}</b>
                </td>
                <td>{row.limit}</td>
                <td
                  className={
                    row.speaks.startsWith('for')
                      ? styles.for
                      : row.speaks === 'not known' || row.speaks === 'either way'
                        ? 'soft'
                        : styles.not
                  }
                >
                  {row.speaks}
                </td>
                <td className="note">{row.source}</td>
              </tr>
            )
          })}
        </tbody>
      </table>
      <p className="note">
        Distances are taken at worst: measured less 1.645 of their standard deviation. What speaks for and against names a likely cause;
        neither makes the finding milder.
      </p>
    </>
  )
}

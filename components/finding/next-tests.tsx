'use client'
/** The test that would settle most, with what each outcome would mean; then the others. */
import { useUnits } from '@/components/ui/preferences'
import { testOutcomes } from '@/lib/finding/next-tests'
import type { MarkFinding } from '@/lib/model/findings'
import styles from './finding-page.module.css'
import { inUnits } from './reason-words'

export function NextTests({ finding }: { finding: MarkFinding }) {
  const units = useUnits()
  const [first, ...others] = finding.nextTests
  if (!first) return null
  return (
    <section className="tie" aria-label="Next test">
      <div className="tag">
        <p className="note">The one next test that would settle most</p>
        <h2>{inUnits(first.text, units)}</h2>
        <dl className={styles.outcomes}>
          {testOutcomes(first.code).map((outcome) => (
            <div key={outcome.found}>
              <dt>{outcome.found}</dt>
              <dd>{outcome.means}</dd>
            </div>
          ))}
        </dl>
        {others.length > 0 ? (
          <>
            <p className="note">Then</p>
            <ul>
              {others.map((test) => (
                <li key={test.code}>{inUnits(test.text, units)}</li>
              ))}
            </ul>
          </>
        ) : null}
      </div>
    </section>
  )
}

/** What a person must know before anything on these screens is relied on. Sources stand beside what they support. */
import type { Metadata } from 'next'
import { Caution } from '@/components/ui/notice'
import { Shell } from '@/components/ui/shell'
import styles from '../plain.module.css'

export const metadata: Metadata = { title: 'Cautions' }

type Line = { text: string; source: string }

const limits: Line[] = [
  {
    text: 'A map records where marks lie and how they run, as a person drew them. It does not find cracks, does not measure depth and does not see beneath plating. In plain light a tight crack is often invisible.',
    source: 'From the method itself: it works on ordinary photographs.',
  },
  {
    text: 'No result here clears a shaft for service. “Nothing recorded” says that nobody drew anything on what was photographed; it does not mean sound.',
    source:
      'A reground aircraft shaft passed two particle tests and broke about nine flight hours later (US accident report 20001208X07351).',
  },
  {
    text: 'A crack may lie wholly inside a plated layer or start below the surface. Under more than about 0.05 to 0.08 mm of plating a particle test loses it: test before and after the plating is stripped.',
    source: 'BS 6072, ISO 17638 and E1444 as quoted by test houses; a hole origin 7.6 mm below the surface is on record.',
  },
  {
    text: '“Treat as cracked” means: do not run it, and do not scrap it on this alone. The test named beside it decides.',
    source: 'Rule card of this program.',
  },
]

const people: Line[] = [
  {
    text: 'Particle tests are done and judged by a person qualified for them, Level II or higher.',
    source:
      'ISO 9712 (third-party), EN 473 or SNT-TC-1A (by the employer), as class rules ask. That near vision is checked every year is from memory.',
  },
  {
    text: 'Size, undersize, fillet radius, finish, hardness and what may be left in the shaft are for the engine maker to say. Where this program shows a usual figure, the maker’s goes before it.',
    source: 'Maintenance manuals differ from engine to engine.',
  },
  {
    text: 'Codes for pressure, marine, aircraft and lifting plant, and the law where you work, go before anything on these screens.',
    source: 'Common practice, no source.',
  },
]

const bench: Line[] = [
  {
    text: 'Ultraviolet lamps: keep the light out of eyes and off skin. Do not use a lamp with a cracked or chipped filter: it lets through what burns. No photochromic lenses; wait until your eyes have grown used to the dark.',
    source: 'TM 1-1500-335-23 for filters and room light up to 2 fc; the rest from memory.',
  },
  {
    text: 'For judging fluorescent particles: at least 10 W/m² of UV-A at about 40 cm, peak at 365 ± 5 nm, less than 20 lx of other light. Under that lamp set this screen to Dim.',
    source: 'A lamp maker’s answers to common questions; TM 1-1500-335-23 puts room light at 2 fc.',
  },
  {
    text: 'Solvents burn and poison: air the room, keep flames and sparks away, wear gloves. Compressed air at 30 psi (2 bar) at most, with guards and eye protection.',
    source: 'TM 9-2815-256-24.',
  },
  {
    text: 'Etching acid needs protection for eyes, skin and breath, and bicarbonate at hand. That nothing discolours proves nothing.',
    source: 'TM 9-6115-604-34.',
  },
  {
    text: 'A shaft is heavy: 123 lb (56 kg) and 408 lb (185 kg) are on record. Lift with nylon straps, nothing hard against a journal, and stand it so that it cannot roll.',
    source: 'TM 10-3930-660-34, TM 9-2320-302-34.',
  },
]

export default function CautionsPage() {
  return (
    <Shell className={styles.plain}>
      <h1>Cautions</h1>
      <Caution>
        This map records position and direction of marks a person drew. It does not detect cracks, measure depth, or see beneath plating.
        Whether a shaft runs again is for a qualified inspector to decide, by the engine maker’s limits.
      </Caution>
      <Part title="What a map cannot say" lines={limits} />
      <Part title="Who decides" lines={people} />
      <Part title="At the bench" lines={bench} />
    </Shell>
  )
}

function Part({ title, lines }: { title: string; lines: readonly Line[] }) {
  return (
    <section>
      <h2>{title}</h2>
      <ul>
        {lines.map((line) => (
          <li key={line.text}>
            {line.text} <span className={`note ${styles.source}`}>{line.source}</span>
          </li>
        ))}
      </ul>
    </section>
  )
}

'use client'
/** The head of every page: the name, the job's tag and its road, units and light. */
import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { LightSwitch, UnitsSwitch } from './switches'
import { Tag } from './tag'

export type Station = 'setup' | 'sizes' | 'bench' | 'findings'
export type RailShaft = {
  /** Row id, for the addresses. */
  id: string
  tag: string
  /** Stations whose work is done: a hole punched above the word. */
  punched: ReadonlySet<Station>
}

const stations: { station: Station; word: string }[] = [
  { station: 'setup', word: 'Set-up' },
  { station: 'sizes', word: 'Sizes' },
  { station: 'bench', word: 'Bench' },
  { station: 'findings', word: 'Findings' },
]

export function Rail({ shaft, newShaftTag }: { shaft?: RailShaft; newShaftTag?: string }) {
  const tag = shaft?.tag ?? newShaftTag
  return (
    <header className={tag === undefined ? 'rail' : 'rail on-shaft'}>
      <Link href="/" className="word" aria-label="Throwmark: all shafts">
        <Mark />
        <span>Throwmark</span>
      </Link>
      {tag === undefined ? null : <Tag job>{tag}</Tag>}
      {shaft ? <Road shaft={shaft} /> : null}
      <div className="switches">
        <UnitsSwitch />
        <div className="light-switch">
          <LightSwitch />
        </div>
      </div>
    </header>
  )
}

function Road({ shaft }: { shaft: RailShaft }) {
  const path = usePathname()
  return (
    <nav className="road" aria-label="This shaft">
      {stations.map(({ station, word }) => {
        const href = `/shafts/${shaft.id}/${station}`
        return (
          <Link key={station} href={href} aria-current={path.startsWith(href) ? 'page' : undefined}>
            {shaft.punched.has(station) ? <span className="punch" aria-hidden="true" /> : null}
            {word}
            {shaft.punched.has(station) ? <span className="unseen">, done</span> : null}
          </Link>
        )
      })}
    </nav>
  )
}

/** A journal end-on with its witness line, and a mark across. */
function Mark() {
  return (
    <svg width="26" height="26" viewBox="0 0 26 26" aria-hidden="true">
      <circle cx="13" cy="13" r="11" fill="none" stroke="currentColor" strokeWidth="2" />
      <circle cx="13" cy="13" r="1.6" fill="currentColor" />
      <path d="M13 2V9.5" stroke="var(--dye)" strokeWidth="3" />
      <path d="M4 18.5L11 10.8" stroke="currentColor" strokeWidth="2" />
    </svg>
  )
}

'use client'
/** What every page stands in: skip link, head, the line about unsaved work, the page itself, foot. */
import type { ReactNode } from 'react'
import { Foot } from './foot'
import { Rail, type RailShaft } from './rail'
import { SaveLine } from './save-line'

export function Shell({
  shaft,
  newShaftTag,
  head,
  children,
  className,
}: {
  shaft?: RailShaft
  newShaftTag?: string
  /** In the rail's place, where a screen on a phone has its own. */
  head?: ReactNode
  children: ReactNode
  className?: string
}) {
  return (
    <>
      <a className="skip no-print" href="#page">
        Skip to the page
      </a>
      {head ?? <Rail shaft={shaft} newShaftTag={newShaftTag} />}
      <SaveLine />
      <main id="page" tabIndex={-1} className={className}>
        {children}
      </main>
      <Foot />
    </>
  )
}

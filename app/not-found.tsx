/** An address that leads nowhere. */
import type { Metadata } from 'next'
import { ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { Shell } from '@/components/ui/shell'
import styles from './plain.module.css'

export const metadata: Metadata = { title: 'Nothing here' }

export default function NotFound() {
  return (
    <Shell className={styles.plain}>
      <h1>Nothing is kept at this address</h1>
      <Notice
        title="Look at the address again, or begin from the list."
        acts={
          <ButtonLink kind="main" href="/">
            All shafts
          </ButtonLink>
        }
      />
    </Shell>
  )
}

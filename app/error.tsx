'use client'
/** A fault of the program on one page: said plainly, with what is not lost. */
import { Button, ButtonLink } from '@/components/ui/button'
import { Notice } from '@/components/ui/notice'
import { Shell } from '@/components/ui/shell'
import styles from './plain.module.css'

export default function ErrorPage({ error, reset }: { error: Error & { digest?: string }; reset: () => void }) {
  return (
    <Shell className={styles.plain}>
      <h1>This page broke</h1>
      <Notice
        weighty
        urgent
        title="The fault is in the program, not in your work."
        acts={
          <>
            <Button kind="main" onPress={reset}>
              Open the page again
            </Button>
            <ButtonLink href="/">All shafts</ButtonLink>
          </>
        }
      >
        <p>What was saved is saved; what still waited is kept on this device. If it happens again, note what you did and this line:</p>
        <p>
          <code>{error.digest ?? error.message}</code>
        </p>
      </Notice>
    </Shell>
  )
}

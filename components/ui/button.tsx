'use client'
/** What one presses. A button that cannot act yet stays in reach and says why. */
import Link from 'next/link'
import type { ReactNode, Ref } from 'react'

type Kind = 'main' | 'plain' | 'flat'
type Common = { kind?: Kind; thumb?: boolean; children: ReactNode }

export function Button({
  kind = 'plain',
  thumb = false,
  notYet,
  onPress,
  children,
  label,
  submit = false,
  expanded,
  ref,
}: Common & {
  onPress?: () => void
  /** Why it cannot act now; shown on it. */
  notYet?: string
  /** Spoken name where the words on it need their context. */
  label?: string
  submit?: boolean
  expanded?: boolean
  ref?: Ref<HTMLButtonElement>
}) {
  return (
    <button
      ref={ref}
      type={submit ? 'submit' : 'button'}
      className={classOf(notYet ? 'plain' : kind, thumb)}
      aria-disabled={notYet ? true : undefined}
      aria-label={notYet ? undefined : label}
      aria-expanded={expanded}
      onClick={(event) => {
        if (notYet) event.preventDefault()
        else onPress?.()
      }}
    >
      {notYet ?? children}
    </button>
  )
}

export function ButtonLink({ kind = 'plain', thumb = false, href, children, label }: Common & { href: string; label?: string }) {
  return (
    <Link className={classOf(kind, thumb)} href={href} aria-label={label}>
      {children}
    </Link>
  )
}

function classOf(kind: Kind, thumb: boolean): string {
  return ['btn', kind === 'plain' ? '' : kind, thumb ? 'thumb' : ''].filter(Boolean).join(' ')
}

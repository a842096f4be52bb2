/** Tape lifts and rubbings of one journal: `?journal=` names it. */
import type { Metadata } from 'next'
import { LiftsOnPage } from '@/components/editor/on-page'

export const metadata: Metadata = { title: 'Lifts' }

export default function Page() {
  return <LiftsOnPage />
}

/** All findings of a shaft. */
import type { Metadata } from 'next'
import { FindingsOnPage } from '@/components/editor/on-page'

export const metadata: Metadata = { title: 'Findings' }

export default function Page() {
  return <FindingsOnPage />
}

/** The bench of a shaft. */
import type { Metadata } from 'next'
import { BenchOnPage } from '@/components/editor/on-page'

export const metadata: Metadata = { title: 'Bench' }

export default function Page() {
  return <BenchOnPage />
}

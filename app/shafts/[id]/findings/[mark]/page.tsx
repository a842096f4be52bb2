/** One finding of a shaft. */
import type { Metadata } from 'next'
import { FindingOnPage } from '@/components/editor/on-page'

export const metadata: Metadata = { title: 'Finding' }

export default async function Page({ params }: { params: Promise<{ mark: string }> }) {
  const { mark } = await params
  return <FindingOnPage markName={decodeURIComponent(mark)} />
}

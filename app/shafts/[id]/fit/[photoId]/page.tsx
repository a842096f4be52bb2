/** Fitting one photograph on a screen of its own. */
import type { Metadata } from 'next'
import { FitOnPage } from '@/components/editor/on-page'

export const metadata: Metadata = { title: 'Fit' }

export default async function Page({ params }: { params: Promise<{ photoId: string }> }) {
  const { photoId } = await params
  return <FitOnPage photoRow={photoId} />
}

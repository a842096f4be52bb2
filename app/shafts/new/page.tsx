/** A new shaft is put on the bench. */
import type { Metadata } from 'next'
import { NewShaftScreen } from '@/components/setup/new-shaft-screen'

export const metadata: Metadata = { title: 'New shaft' }

export default function NewShaftPage() {
  return <NewShaftScreen />
}

/** A shaft's micrometer readings. */
import type { Metadata } from 'next'
import { SizesScreen } from '@/components/sizes/sizes-screen'

export const metadata: Metadata = { title: 'Sizes' }

export default function SizesPage() {
  return <SizesScreen />
}

/** Making the printed strip for a journal. */
import type { Metadata } from 'next'
import { StripScreen } from '@/components/setup/strip-screen'

export const metadata: Metadata = { title: 'Printed strip' }

export default function StripPage() {
  return <StripScreen />
}

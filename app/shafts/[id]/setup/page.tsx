/** A shaft's set-up. */
import type { Metadata } from 'next'
import { SetupScreen } from '@/components/setup/setup-screen'

export const metadata: Metadata = { title: 'Set-up' }

export default function SetupPage() {
  return <SetupScreen />
}

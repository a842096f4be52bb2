/** The frame of every page: fonts, the look, what a person set on this device, the queue of unsaved work. */
import '@fontsource-variable/national-park/wght.css'
import '@fontsource-variable/atkinson-hyperlegible-next/wght.css'
import './styles/tokens.css'
import './styles/base.css'
import './styles/parts.css'
import './styles/head.css'
import type { Metadata, Viewport } from 'next'
import type { ReactNode } from 'react'
import { lightScript } from '@/components/ui/preferences'
import { SaveProvider } from '@/components/ui/save-context'

export const metadata: Metadata = {
  title: { default: 'Shafts · Throwmark', template: '%s · Throwmark' },
  description: 'Where a line lies on a journal, how it runs, and the test that would settle it.',
}
export const viewport: Viewport = { width: 'device-width', initialScale: 1 }

export default function Layout({ children }: { children: ReactNode }) {
  return (
    <html lang="en" suppressHydrationWarning>
      <head>
        {/* biome-ignore lint/security/noDangerouslySetInnerHtml: a constant; it must run before the first paint */}
        <script dangerouslySetInnerHTML={{ __html: lightScript }} />
      </head>
      <body>
        <SaveProvider>{children}</SaveProvider>
      </body>
    </html>
  )
}

/** Every page of one shaft shares its document. */
import type { ReactNode } from 'react'
import { ShaftProvider } from '@/components/ui/shaft-document'

export default async function ShaftLayout({ children, params }: { children: ReactNode; params: Promise<{ id: string }> }) {
  const { id } = await params
  return <ShaftProvider shaftId={id}>{children}</ShaftProvider>
}

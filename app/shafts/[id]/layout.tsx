/** Every page of one shaft shares its document. */
import type { ReactNode } from 'react'
import { BenchProvider } from '@/components/editor/bench-context'
import { ShaftProvider } from '@/components/ui/shaft-document'

export default async function ShaftLayout({ children, params }: { children: ReactNode; params: Promise<{ id: string }> }) {
  const { id } = await params
  return (
    <ShaftProvider shaftId={id}>
      <BenchProvider shaftId={id}>{children}</BenchProvider>
    </ShaftProvider>
  )
}

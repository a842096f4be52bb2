'use client'
/** Keys that hold for the whole bench, wherever one is but in a field: tools, undo and redo, journal before and after, the next step. */
import { useEffect, useRef } from 'react'
import { isTyping } from '@/components/ui/foot'
import type { BenchStore } from './bench-store'
import { type BenchTools, toolNames } from './use-bench-tools'

export function useBenchKeys(bench: {
  store: BenchStore
  tools: BenchTools
  step: (by: number) => void
  /** Fitting has keys of its own. */
  paused: boolean
}) {
  const latest = useRef(bench)
  latest.current = bench
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      const { store, tools, step, paused } = latest.current
      if (isTyping(event.target)) return
      if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'z') {
        if (event.shiftKey) store.redo()
        else store.undo()
      } else if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === 'y') store.redo()
      else if (event.ctrlKey || event.metaKey || event.altKey) return
      else if (event.key === ',') step(-1)
      else if (event.key === '.') step(1)
      else if (event.key === 'n' || event.key === 'N')
        document.querySelector<HTMLElement>('[data-next-step] .btn.main, [data-next-step] .btn')?.click()
      else if (!paused && /^[1-6]$/.test(event.key)) tools.setTool(toolNames[Number(event.key) - 1] ?? 'mark')
      else return
      event.preventDefault()
    }
    window.addEventListener('keydown', press)
    return () => window.removeEventListener('keydown', press)
  }, [])
}

'use client'
/** Findings of the listed shafts, fetched one after another: the list stands at once, each word of concern follows. */
import { useEffect, useState } from 'react'
import { apiRequest } from '@/components/ui/api-client'
import { type Findings, findingsSchema } from '@/lib/model/findings'
import type { ShaftSummary } from '@/lib/model/rows'

/** `asked`: on its way. `none`: the server had no answer. */
export type ShaftFindings = Findings | 'asked' | 'none'

export function useFindings(shafts: readonly ShaftSummary[]): ReadonlyMap<string, ShaftFindings> {
  const [findings, setFindings] = useState<ReadonlyMap<string, ShaftFindings>>(new Map())
  const stamp = shafts.map(({ shaft }) => `${shaft.id} ${shaft.version} ${shaft.updatedAt}`).join('|')

  // biome-ignore lint/correctness/useExhaustiveDependencies: the stamp stands for the shafts as they were last read
  useEffect(() => {
    const stop = new AbortController()
    const ask = async () => {
      for (const { shaft } of shafts) {
        const answer = await apiRequest(findingsSchema, { path: `/api/shafts/${shaft.id}/findings`, signal: stop.signal })
        setFindings((before) => new Map(before).set(shaft.id, answer.ok ? answer.value : 'none'))
      }
    }
    ask().catch(() => {})
    return () => stop.abort()
  }, [stamp])

  return findings
}

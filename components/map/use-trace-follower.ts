'use client'
/** Follows the stretches of a trace in a worker, on the rollout as it is laid out now; each is asked for once and told to the tool when it is there. */
import { useEffect, useRef } from 'react'
import type { BenchTools } from '@/components/editor/use-bench-tools'
import type { Surface } from '@/lib/journal/surface'
import { openTraceClient, type TraceClient } from '@/lib/trace/trace-client'
import type { PictureStore } from './map-ground'

type Desk = { client: TraceClient; stamp: number; surface: Surface | null; asked: Set<number> }

export function useTraceFollower(tools: BenchTools, picture: PictureStore, surface: Surface): void {
  const desk = useRef<Desk | null>(null)
  const latest = useRef(tools)
  latest.current = tools
  const inHand = tools.tool === 'trace'

  useEffect(() => {
    if (!inHand) return
    desk.current = { client: openTraceClient(), stamp: -1, surface: null, asked: new Set() }
    return () => {
      desk.current?.client.close()
      desk.current = null
    }
  }, [inHand])

  useEffect(() => {
    const at = desk.current
    if (!at) return
    const { taps, ways, held } = tools.trace
    ways.forEach((way, leg) => {
      const [from, to] = [taps[leg], taps[leg + 1]]
      if (way.points !== null || !from || !to || at.asked.has(way.number)) return
      if (!handOver(at, picture, surface)) return
      at.asked.add(way.number)
      // the end in the hand stays where the finger is
      void at.client.follow(from, to, way.snap && held !== leg && held !== leg + 1).then((points) => {
        if (desk.current === at && points)
          latest.current.traced(
            way.number,
            points.map((point) => ({ on: 'map' as const, ...point })),
          )
      })
    })
  }, [tools.trace, picture, surface])
}

/** Gives the worker the rollout's pixels where it has not these yet; false while there is none. */
function handOver(desk: Desk, picture: PictureStore, surface: Surface): boolean {
  const laidOut = picture.get()
  if (!laidOut) return false
  if (desk.stamp === laidOut.stamp && desk.surface === surface) return true
  const { width, height } = laidOut.canvas
  const data = laidOut.canvas.getContext('2d')?.getImageData(0, 0, width, height).data
  if (!data) return false
  desk.client.setMap({ width, height, rgba: data }, surface)
  desk.stamp = laidOut.stamp
  desk.surface = surface
  return true
}

/** The page's side of the tracing worker: hands a map over once, and follows the line between two places. */
import type { MapPoint, Surface } from '../journal/surface'
import type { TraceMap } from './trace-field'
import type { FromTracer, ToTracer } from './trace-service'

export type TraceClient = {
  /** Hands the map's pixels over; their buffer is gone for the caller. */
  setMap(map: TraceMap, surface: Surface): void
  /** The line from one place to the other; null where there is no way, or no map yet. `snap`: a place near a line is taken for the line. */
  follow(from: MapPoint, to: MapPoint, snap: boolean): Promise<MapPoint[] | null>
  close(): void
}

export function openTraceClient(worker: Worker = new Worker(new URL('./trace-worker.ts', import.meta.url))): TraceClient {
  const waiting = new Map<number, (points: MapPoint[] | null) => void>()
  let last = 0
  worker.onmessage = ({ data }: MessageEvent<FromTracer>) => {
    waiting.get(data.id)?.(data.points)
    waiting.delete(data.id)
  }
  worker.onerror = () => {
    for (const settle of waiting.values()) settle(null)
    waiting.clear()
  }
  return {
    setMap: (map, surface) => worker.postMessage({ say: 'map', map, surface } satisfies ToTracer, [map.rgba.buffer as ArrayBuffer]),
    follow: (from, to, snap) =>
      new Promise((settle) => {
        const id = ++last
        waiting.set(id, settle)
        worker.postMessage({ say: 'follow', id, from, to, snap } satisfies ToTracer)
      }),
    close: () => worker.terminate(),
  }
}

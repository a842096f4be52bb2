/**
 * Tracing on fresh rendered sets: how much of each crack that a person can see the line between two taps at its ends follows within 0.15 mm, and how
 * long field and path take; fingers and rags are left out as a person leaves them out; beside the cheapest way over plain grey levels in the same run: `npx tsx tests/bench/trace.bench.ts [first seed, 30001] [sets, 1] [square]`.
 */
import { type MapPoint, type Surface, surfaceOf } from '../../lib/journal/surface'
import type { Pixel } from '../../lib/model/photo'
import { rollout, rolloutSize } from '../../lib/rollout/rollout'
import { type TraceField, type TraceMap, traceField } from '../../lib/trace/trace-field'
import { traceFrom, traceTo } from '../../lib/trace/trace-path'
import { pixelOfMap, stepsAround, tracedLine } from '../../lib/trace/traced-line'
import { noiseFrom } from '../fixtures/render/noise'
import type { Cover } from '../fixtures/render/shop-picture'
import { shopSet } from '../fixtures/render/shop-set'
import { asSent } from './shop-candidates'
import { cameraOf, journalOfSet, truthLines } from './shop-truth'

const pxPerMm = 14
const tapNoiseMm = 0.2

async function measure(first: number, sets: number, square: boolean): Promise<void> {
  const shares: Record<string, { ours: number; plain: number; all: number }> = {}
  for (let seed = first; seed < first + sets; seed++) {
    const set = shopSet(seed, { closeUps: 0, ultraviolet: 0, square })
    const surface = surfaceOf(journalOfSet(set))
    const views = []
    for (const { id, view } of set.photos) {
      const ignore = view.cover ? [outlineOf(view.cover)] : []
      views.push({ picture: await asSent(set, id), camera: cameraOf(view.camera), ignore })
    }
    const size = rolloutSize(surface, pxPerMm)
    const map = { ...size, rgba: rollout(surface, views, size, { sampling: 'bicubic' }).rgba }
    const along = surface.totalS / size.height
    const around = stepsAround(surface, size.width, size.height)
    const field = traceField(map, around, along, 'dark')
    const plain = greyField(map, around, along)
    const noise = noiseFrom(seed)
    for (const { kind, cls, points, seen } of truthLines(set, 'white')) {
      if (kind !== 'crack' || seen.some((yes) => !yes)) continue
      const line = points.map(([x, s]) => ({ theta: x / surface.radius, s }))
      const tap = ({ theta, s }: MapPoint) => ({
        theta: theta + (tapNoiseMm * noise.normal()) / surface.radius,
        s: s + tapNoiseMm * noise.normal(),
      })
      const [a, b] = [tap(line[0]), tap(line[line.length - 1])]
      const share = shares[cls] ?? { ours: 0, plain: 0, all: 0 }
      shares[cls] = share
      share.all += line.length
      share.ours += followed(surface, field, a, b, line)
      share.plain += followed(surface, plain, a, b, line)
    }
  }
  for (const [cls, { ours, plain, all }] of Object.entries(shares))
    console.log(
      `${cls}: within 0.15 mm ${((100 * ours) / all).toFixed(1)} % of the length; over plain grey levels ${((100 * plain) / all).toFixed(1)} %`,
    )
  times()
}

/** Around a finger or a rag, as a person outlines what a photograph is to be left out of: some px outside its edge and shadow. */
function outlineOf(cover: Cover): Pixel[] {
  const beside = 20
  if (cover.kind === 'rag') {
    const far = 5000
    const corner = (along: number, across: number): Pixel => [
      cover.at[0] + along * Math.cos(cover.dir) - across * Math.sin(cover.dir),
      cover.at[1] + along * Math.sin(cover.dir) + across * Math.cos(cover.dir),
    ]
    const back = -0.2 * cover.scale - beside
    const wide = (far - back) * Math.tan(cover.half) + beside
    return [corner(back, -beside), corner(back, beside), corner(far, wide), corner(far, -wide)]
  }
  const radius = 1.08 * cover.r + beside
  const heading = Math.atan2(cover.b[1] - cover.a[1], cover.b[0] - cover.a[0])
  // half a circle about either end
  return Array.from({ length: 26 }, (_, k) => {
    const angle = heading + ((k % 13) / 12 - 0.5) * Math.PI + (k < 13 ? 0 : Math.PI)
    const [u, v] = k < 13 ? cover.b : cover.a
    return [u + radius * Math.cos(angle), v + radius * Math.sin(angle)]
  })
}

/** How many of the line's vertices the trace between the two taps comes within 0.15 mm of. */
function followed(surface: Surface, field: TraceField, a: MapPoint, b: MapPoint, line: readonly MapPoint[]): number {
  const [from, to] = [pixelOfMap(surface, field, a), pixelOfMap(surface, field, b)]
  const path = traceTo(traceFrom(field, from.x, from.y, 0.5), to.x, to.y)
  const trace = tracedLine(surface, field, path, 0.12).map(({ theta, s }) => [theta * surface.radius, s] as const)
  const girth = 2 * Math.PI * surface.radius
  return line.filter(({ theta, s }) => {
    for (let i = 1; i < trace.length; i++) {
      const [[ax, ay], [bx, by]] = [trace[i - 1], trace[i]]
      const off = theta * surface.radius - ax
      const x = off - girth * Math.round(off / girth)
      const square = (bx - ax) ** 2 + (by - ay) ** 2
      const t = square > 0 ? Math.min(1, Math.max(0, (x * (bx - ax) + (s - ay) * (by - ay)) / square)) : 0
      if (Math.hypot(x - t * (bx - ax), s - ay - t * (by - ay)) <= 0.15) return true
    }
    return false
  }).length
}

/** The plain reference: dark pixels are cheap, nothing else counts. */
function greyField(map: TraceMap, stepAround: Float32Array, stepAlong: number): TraceField {
  const { width, height, rgba } = map
  const lineness = new Uint8Array(8 * width * height)
  for (let i = 0; i < width * height; i++) {
    const grey = 0.3 * rgba[4 * i] + 0.6 * rgba[4 * i + 1] + 0.1 * rgba[4 * i + 2]
    lineness.fill(255 - grey, 8 * i, 8 * i + 8)
  }
  const costOf = Uint8Array.from({ length: 256 }, (_, dark) => Math.max(1, (255 - dark) / 4))
  return { width, height, lineness, costOf, steelPrice: Infinity, stepAround, stepAlong, task: null }
}

/** Best of several on a map of 2000 x 1000 px of noise with lay: field; a tree grown to 40 mm; a pointer that moves on 1 mm. */
function times(): void {
  const [width, height] = [2000, 1000]
  const rgba = new Uint8ClampedArray(width * height * 4)
  const noise = noiseFrom(5)
  for (let i = 0; i < width * height; i++) {
    const grey = 140 + 10 * Math.sin(Math.floor(i / width) * 1.3) + 6 * noise.normal()
    rgba.set([grey, grey, grey, 255], 4 * i)
  }
  const around = new Float32Array(height).fill(0.07)
  const best = (count: number, run: () => void) => {
    let least = Infinity
    for (let k = 0; k < count; k++) {
      const start = performance.now()
      run()
      least = Math.min(least, performance.now() - start)
    }
    return least.toFixed(1)
  }
  const fresh = () => traceField({ width, height, rgba }, around, 0.07, 'dark')
  let field = fresh()
  console.log(`field on 2000 x 1000: ${best(8, () => (field = fresh()))} ms`)
  const fields = Array.from({ length: 5 }, fresh)
  console.log(
    `first way, 20 mm over bare steel: ${best(5, () => traceTo(traceFrom(fields.pop() ?? fresh(), 1000, 500, 0.5), 1285, 500))} ms`,
  )
  const tree = traceFrom(field, 1000, 500, 0.5)
  traceTo(tree, 1285, 500)
  const moves = Array.from({ length: 200 }, (_, k) => {
    const start = performance.now()
    traceTo(tree, 1285 + 0.5 * k, 500 + 0.3 * k)
    return performance.now() - start
  }).sort((a, b) => a - b)
  console.log(`pointer moving on by 0.04 mm, 200 times, further out: median ${moves[100].toFixed(2)}, slowest ${moves[199].toFixed(1)} ms`)
}

void measure(Number(process.argv[2] ?? 30001), Number(process.argv[3] ?? 1), process.argv[4] === 'square')

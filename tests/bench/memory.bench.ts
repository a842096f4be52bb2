/**
 * Peak memory of a rollout of ten 12 megapixel photographs, read from JPEG, in two threads: run
 * `npx tsx tests/bench/memory.bench.ts [photographs]`. The figure is the whole process's, Node and sharp included.
 */
import sharp from 'sharp'
import { importBundled } from '../../lib/cli/bundle.mjs'
import type { Camera } from '../../lib/photo/camera'
import { uprightPixelsOf } from '../../lib/store/previews'
import { rolloutInThreads } from '../../lib/store/rollout-threads'
import { camera, surface } from './remap-case'

const mapSize = { width: 4096, height: 1024 }
const count = Number(process.argv[2] ?? 10)

/** Grain made by sharp itself, so that its making costs this process nothing. */
function jpeg(): Promise<Uint8Array> {
  const { width, height } = camera
  const noise = { type: 'gaussian' as const, mean: 128, sigma: 30 }
  return sharp({ create: { width, height, channels: 3, background: '#808080', noise } })
    .jpeg({ quality: 90 })
    .toBuffer()
}

/** The same camera from further round the journal. */
function turned(k: number): Camera {
  const [c, s] = [Math.cos((2 * Math.PI * k) / count), Math.sin((2 * Math.PI * k) / count)]
  const m = camera.rotation
  const rows = [0, 3, 6].flatMap((i) => [m[i] * c - m[i + 1] * s, m[i] * s + m[i + 1] * c, m[i + 2]])
  return { ...camera, rotation: rows as unknown as Camera['rotation'] }
}

// the threads run from the command line's bundle, as they do in use
await importBundled('lib/cli/main.ts')
const bytes = await jpeg()
const before = process.memoryUsage().rss
const photos = Array.from({ length: count }, (_, k) => ({
  camera: turned(k),
  ignore: [],
  read: () => uprightPixelsOf(bytes, 'image/jpeg'),
}))
const start = performance.now()
const map = await rolloutInThreads(surface, photos, mapSize, 'bicubic')
const seconds = (performance.now() - start) / 1000
let covered = 0
for (let i = 3; map && i < map.rgba.length; i += 4) if (map.rgba[i] > 0) covered++
const mb = (value: number) => Math.round(value / 1e6)
console.log(
  `${count} photographs of 12 megapixels to ${mapSize.width} x ${mapSize.height}: ${seconds.toFixed(1)} s, ${((400 * covered) / (map?.rgba.length ?? 1)).toFixed(1)} % covered, ` +
    `peak ${mb(process.resourceUsage().maxRSS * 1024)} MB (${mb(before)} MB before)`,
)

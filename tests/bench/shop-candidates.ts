/**
 * A rendered shop set taken through the search for marks up to its candidates: pictures drawn, compressed as a phone does and read again; cameras
 * as far off on the map as photographs laid beside each other are: 0.04 mm, one in five 0.1 mm; a third of the close-ups is not placed. Gives
 * candidates with features, and the truth to label them by.
 */
import sharp from 'sharp'
import { surfaceOf } from '../../lib/journal/surface'
import type { Camera } from '../../lib/photo/camera'
import type { Picture } from '../../lib/rollout/picture'
import { lineGrid, mapPointAt } from '../../lib/trace/line-grid'
import { type LineStrip, lineStrip } from '../../lib/trace/line-strip'
import type { RidgePath } from '../../lib/trace/ridge-path'
import { candidatePaths, isListed } from '../../lib/trace/suggest'
import { noiseFrom } from '../fixtures/render/noise'
import { jpegOf } from '../fixtures/render/picture'
import type { ShopSet } from '../fixtures/render/shop-set'
import type { FoundLine, TruthLine } from './line-truth'
import { cameraOf, journalOfSet, truthLines } from './shop-truth'

export type SetCandidates = {
  girth: number
  truth: TruthLine[]
  found: FoundLine[]
  features: Float64Array[]
  /** Whether a line with this score would be shown. */
  isListed: (index: number, score: number) => boolean
  strips: LineStrip[]
  grid: ReturnType<typeof lineGrid>
}

/** `pictureOf`: the upright picture of a photograph as it was sent; drawn anew if left out. */
export async function setCandidates(
  set: ShopSet,
  lighting: 'white' | 'ultraviolet',
  pictureOf: (id: string) => Promise<Picture> = (id) => asSent(set, id),
): Promise<SetCandidates> {
  const journal = journalOfSet(set)
  const surface = surfaceOf(journal)
  const grid = lineGrid(surface)
  const noise = noiseFrom(set.truth.seed + 77)
  const strips: LineStrip[] = []
  for (const photo of set.photos) {
    if (photo.view.light.kind !== lighting) continue
    const off = noise.chance(0.2) ? 0.1 : 0.04
    const camera = shifted(cameraOf(photo.view.camera), (off * noise.normal()) / surface.radius, off * noise.normal())
    if (photo.close && noise.chance(1 / 3)) continue
    const strip = lineStrip(
      surface,
      grid,
      { camera, ignore: [], sigmaMm: { around: off, along: off } },
      await pictureOf(photo.id),
      lighting,
    )
    if (strip) strips.push(strip)
  }
  const { paths, features, scene } = candidatePaths(journal, surface, grid, strips, lighting)
  return {
    girth: 2 * Math.PI * surface.radius,
    truth: truthLines(set, lighting),
    found: paths.map((path) => foundLine(grid, surface.radius, path)),
    features,
    isListed: (index, score) => isListed(scene, paths[index], score, lighting),
    strips,
    grid,
  }
}

export function foundLine(grid: ReturnType<typeof lineGrid>, radius: number, path: RidgePath): FoundLine {
  const points = path.points.map(({ x, y }): [number, number] => {
    const { theta, s } = mapPointAt(grid, x, y)
    return [theta * radius, s]
  })
  return { points, score: path.heights.reduce((sum, height) => sum + height, 0) / path.heights.length }
}

/** The picture as it comes back from a phone's JPEG, upright. */
export async function asSent(set: ShopSet, id: string): Promise<Picture> {
  const photo = set.photos.find((each) => each.id === id)
  return uprightPicture(await jpegOf(set.picture(id), photo?.orientation))
}

export async function uprightPicture(file: Buffer | string): Promise<Picture> {
  const { data, info } = await sharp(file).rotate().raw().toBuffer({ resolveWithObject: true })
  return { width: info.width, height: info.height, channels: 3, data: new Uint8Array(data) }
}

/** The camera turned about the shaft and slid along it. */
function shifted(camera: Camera, turn: number, slide: number): Camera {
  const [c, s] = [Math.cos(turn), Math.sin(turn)]
  const r = camera.rotation
  const rotation = [0, 3, 6].flatMap((row) => [r[row] * c - r[row + 1] * s, r[row] * s + r[row + 1] * c, r[row + 2]])
  const translation = [0, 1, 2].map((i) => camera.translation[i] - slide * rotation[3 * i + 2])
  return {
    ...camera,
    rotation: rotation as unknown as Camera['rotation'],
    translation: translation as unknown as Camera['translation'],
  }
}

/**
 * A rendered shop set as files, drawn once and kept in the system's temporary folder: pictures as a phone writes them, `inspection.json`,
 * `inspection-uv.json` and `truth.json`. Focal lengths stand beside them as EXIF tells them, not in the inspection.
 */
import { access, mkdir, readFile, rename, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { readInspectionText } from '../../lib/journal/read-inspection'
import type { InspectionMm } from '../../lib/model/inspection'
import type { Photo } from '../../lib/model/photo'
import type { LensData } from '../../lib/photo/lens-priors'
import type { Picture } from '../../lib/rollout/picture'
import { uprightPixelsOf } from '../../lib/store/previews'
import { jpegOf } from '../fixtures/render/picture'
import { type ShopSet, shopSet } from '../fixtures/render/shop-set'

export type Lighting = 'white' | 'ultraviolet'
export type ShopFiles = {
  truth: ShopSet['truth']
  inspection: InspectionMm
  lensOf: (photo: Photo) => LensData
  pictureOf: (photo: Photo) => Promise<Picture>
}

const names = { white: 'inspection.json', ultraviolet: 'inspection-uv.json' }

export async function shopFiles(seed: number, lighting: Lighting, scale = 1, square = false): Promise<ShopFiles> {
  const folder = path.join(tmpdir(), `throwmark-shop-${seed}${scale === 1 ? '' : `-${scale}`}${square ? '-square' : ''}`)
  await drawn(folder, seed, lighting, scale, square)
  const truth: ShopSet['truth'] = JSON.parse(await readFile(path.join(folder, 'truth.json'), 'utf8'))
  const read = readInspectionText(await readFile(path.join(folder, names[lighting]), 'utf8'))
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const inspection = { ...read.value, photos: read.value.photos.map((photo) => ({ ...photo, focalPx: null })) }
  return {
    truth,
    inspection,
    lensOf: ({ id }) => ({ focal35Mm: truth.photos[id].exifF35, focalMm: null }),
    pictureOf: async ({ id }) => uprightPixelsOf(await readFile(path.join(folder, `${id}.jpg`)), 'image/jpeg'),
  }
}

async function drawn(folder: string, seed: number, lighting: Lighting, scale: number, square: boolean): Promise<void> {
  const done = path.join(folder, `done-${lighting}`)
  if (await isThere(done)) return
  await mkdir(folder, { recursive: true })
  const set = shopSet(seed, { scale, square })
  for (const { id, view, orientation } of set.photos) {
    if (view.light.kind !== lighting) continue
    const place = path.join(folder, `${id}.jpg`)
    if (await isThere(place)) continue
    await writeFile(`${place}.part`, await jpegOf(set.picture(id), orientation))
    await rename(`${place}.part`, place)
  }
  await writeFile(path.join(folder, names.white), JSON.stringify(set.inspection))
  await writeFile(path.join(folder, names.ultraviolet), JSON.stringify(set.inspectionUv))
  await writeFile(path.join(folder, 'truth.json'), JSON.stringify(set.truth))
  await writeFile(done, '')
}

function isThere(place: string): Promise<boolean> {
  return access(place).then(
    () => true,
    () => false,
  )
}

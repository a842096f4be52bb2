/**
 * Ten photographs of 12 megapixels all the way round a journal, the oil hole picked in few, as files. The pictures are rendered at half their size once,
 * enlarged, and kept in the system's temporary folder: what compares photographs looks at 0.25 mm and more, which the half shows.
 */
import { access, mkdir, rename, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import sharp from 'sharp'
import { turnedJournal } from '../fixtures/render/turns'

const seed = 20_521
const facingDeg = Array.from({ length: 10 }, (_, i) => 36 * i)

/** The folder holds `inspection.json` and the pictures named. */
export async function allRoundJournal(): Promise<{ folder: string; files: string[]; width: number; height: number }> {
  const { inspection } = turnedJournal(seed, { facingDeg, scale: 4, noisePx: 0.7 })
  const half = turnedJournal(seed, { facingDeg, scale: 2, noisePx: 0.7 })
  const folder = path.join(tmpdir(), `throwmark-all-round-${seed}`)
  await mkdir(folder, { recursive: true })
  for (const [i, photo] of inspection.photos.entries()) {
    photo.file = photo.file.replace('.png', '.jpg')
    const place = path.join(folder, photo.file)
    if (await isThere(place)) continue
    const { data, width, height } = half.picture(i)
    const jpeg = sharp(data, { raw: { width, height, channels: 3 } })
      .resize(photo.width, photo.height, { kernel: 'cubic' })
      .jpeg({ quality: 90 })
    await jpeg.toFile(`${place}.part`)
    await rename(`${place}.part`, place)
  }
  await writeFile(path.join(folder, 'inspection.json'), JSON.stringify(inspection))
  const [{ width, height }] = inspection.photos
  return { folder, files: inspection.photos.map(({ file }) => file), width, height }
}

function isThere(place: string): Promise<boolean> {
  return access(place).then(
    () => true,
    () => false,
  )
}

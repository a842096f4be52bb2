/**
 * The printed strip's codes, and rims of oil holes, in kept photographs. What was found lies with the derived pictures, with the key of what it was
 * made from: hand picks do not change it, so that a photograph is looked at once.
 */
import { createHash } from 'node:crypto'
import { z } from 'zod'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import type { PhotoFile } from '../model/rows'
import { findStrip, greyOf } from '../photo/printed-strip-find'
import type { FoundStrip } from '../photo/printed-strip-fit'
import type { Picture } from '../rollout/picture'
import type { PhotoStorage } from './photo-storage'

const variant = 'strip.json'
/** To be raised with every change of what is found. */
const findingVersion = 2

const cornerSchema = z.object({ u: z.number(), v: z.number() })
const keptSchema = z.object({
  key: z.string(),
  markers: z.array(z.object({ id: z.int(), corners: z.tuple([cornerSchema, cornerSchema, cornerSchema, cornerSchema]) })),
  rims: z.array(z.object({ holeId: z.string(), u: z.number(), v: z.number(), sigmaPx: z.number() })),
})

/** Null where the picture is not to be had. */
export async function stripInPhoto(
  storage: PhotoStorage,
  { journal, photo, file }: { journal: Journal; photo: Photo; file: PhotoFile },
  pictureOf: () => Promise<Picture | null>,
): Promise<FoundStrip | null> {
  const { strip, diameter, width, fillets, oilHoles } = journal
  const made = [
    findingVersion,
    strip?.diameter,
    strip?.thickness,
    strip?.toFront,
    diameter,
    width,
    fillets,
    oilHoles.map(({ id, mouthAround, mouthAlong, tiltDeg }) => [id, mouthAround, mouthAlong, tiltDeg]),
    photo.focalPx,
    photo.k1,
    file.lens,
  ]
  const key = createHash('sha256')
    .update(JSON.stringify([made, file.sha256]))
    .digest('hex')
  const kept = await keptCodes(storage, file.sha256)
  if (kept?.key === key) return { markers: kept.markers, rims: kept.rims }
  const picture = await pictureOf()
  if (!picture) return null
  const found = findStrip(journal, photo, file.lens, greyOf(picture))
  await storage.putDerived(file.sha256, variant, Buffer.from(JSON.stringify({ key, ...found })))
  return found
}

async function keptCodes(storage: PhotoStorage, sha256: string): Promise<z.infer<typeof keptSchema> | null> {
  const bytes = await storage.readDerived(sha256, variant)
  if (!bytes) return null
  try {
    return keptSchema.parse(JSON.parse(bytes.toString('utf8')))
  } catch {
    return null
  }
}

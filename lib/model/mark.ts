/** A mark: a line or a closed outline that a person drew, on the map or on a photograph. */
import { z } from 'zod'
import { idSchema, lengthSchema, pixelSchema } from './primitives'

export const markPointSchema = z.union([
  z.strictObject({ angleDeg: z.number(), axial: lengthSchema }),
  z.strictObject({ angleDeg: z.number(), s: lengthSchema }),
])

export const markSchema = z.strictObject({
  id: idSchema,
  journalId: idSchema,
  shape: z.enum(['line', 'area']).default('line'),
  points: z.array(markPointSchema).optional(),
  /** One standard deviation of where each vertex lies, in mm whatever the document's units. */
  sigmaMm: z.number().min(0).optional(),
  photoId: idSchema.optional(),
  pixels: z.array(pixelSchema).optional(),
  feel: z.enum(['untested', 'smooth', 'catches']).default('untested'),
  seen: z.array(z.enum(['fillet', 'hole', 'cheek', 'branches'])).default([]),
  named: z.enum(['pit', 'stain']).optional(),
  note: z.string().max(4000).optional(),
})

/** Taken for a mark drawn on the map when the person gave no other (common practice, no source). */
export const defaultMapSigmaMm = 0.3

export type MarkPoint = z.infer<typeof markPointSchema>
export type Mark = z.infer<typeof markSchema>

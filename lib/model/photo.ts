/** A photograph and the handles that a person picked in it. */
import { z } from 'zod'
import { idSchema, lengthSchema, pixelSchema } from './primitives'

const sidePointsSchema = z.array(pixelSchema)

export const ringPlaceSchema = z.union([z.enum(['front-cheek', 'front-fillet', 'rear-fillet', 'rear-cheek']), lengthSchema])

export const ringHandleSchema = z.strictObject({ at: ringPlaceSchema, points: z.array(pixelSchema) })
export const holeHandleSchema = z.strictObject({ id: idSchema, center: pixelSchema })
export const clockHandleSchema = z.strictObject({ angleDeg: z.number(), axial: lengthSchema, point: pixelSchema })

export const stripHandleSchema = z.union([
  z.literal('find'),
  z.strictObject({
    markers: z.array(
      z.strictObject({
        id: z.int().min(0),
        corners: z.tuple([pixelSchema, pixelSchema, pixelSchema, pixelSchema]),
      }),
    ),
  }),
])

export const handlesSchema = z.strictObject({
  sides: z.tuple([sidePointsSchema, sidePointsSchema]).default([[], []]),
  rings: z.array(ringHandleSchema).default([]),
  oilHoles: z.array(holeHandleSchema).default([]),
  clock: z.array(clockHandleSchema).default([]),
  strip: stripHandleSchema.nullable().default(null),
})

/** Noise of a hand pick: 0.7 px in a picture 4000 px wide, never under 0.3 px. */
export function defaultPickSigmaPx(width: number): number {
  return Math.max(0.3, (0.7 * width) / 4000)
}

export const photoSchema = z.strictObject({
  id: idSchema,
  journalId: idSchema,
  file: z.string().min(1).optional(),
  width: z.int().positive(),
  height: z.int().positive(),
  /** null: from EXIF, else solved. */
  focalPx: z.number().positive().nullable().default(null),
  /** A number: known. null: solved. */
  k1: z.number().nullable().default(0),
  pickSigmaPx: z.number().positive().optional(),
  handles: handlesSchema.default({ sides: [[], []], rings: [], oilHoles: [], clock: [], strip: null }),
  ignore: z.array(z.array(pixelSchema).min(3)).default([]),
})

export type RingPlace = z.infer<typeof ringPlaceSchema>
export type RingHandle = z.infer<typeof ringHandleSchema>
export type HoleHandle = z.infer<typeof holeHandleSchema>
export type ClockHandle = z.infer<typeof clockHandleSchema>
export type Handles = z.infer<typeof handlesSchema>
export type Photo = z.infer<typeof photoSchema>
export type Pixel = z.infer<typeof pixelSchema>

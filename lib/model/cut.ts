/** Micrometer readings, and what the cut plan starts from. */
import { z } from 'zod'
import { idSchema, lengthSchema, positiveLengthSchema } from './primitives'

export const readingSchema = z.strictObject({ axial: lengthSchema, angleDeg: z.number(), diameter: positiveLengthSchema })
export const sizesSchema = z.strictObject({ journalId: idSchema, readings: z.array(readingSchema) })

const rangeSchema = z.tuple([positiveLengthSchema, positiveLengthSchema])
const byKind = <Schema extends z.ZodType>(schema: Schema) => z.strictObject({ pin: schema.optional(), main: schema.optional() })

export const cutSchema = z.strictObject({
  standard: byKind(rangeSchema).default({}),
  ladder: byKind(z.array(positiveLengthSchema)).default({}),
  cleanupPerSide: lengthSchema.min(0).optional(),
  platingPerSide: positiveLengthSchema.nullable().default(null),
})

export type Reading = z.infer<typeof readingSchema>
export type Sizes = z.infer<typeof sizesSchema>
export type Cut = z.infer<typeof cutSchema>

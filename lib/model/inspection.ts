/** The inspection file, `throwmark/inspection@1`. */
import { z } from 'zod'
import { cutSchema, sizesSchema } from './cut'
import { journalSchema } from './journal'
import { markSchema } from './mark'
import { photoSchema } from './photo'
import { idSchema } from './primitives'

export const unitsSchema = z.enum(['mm', 'in'])
export const shaftSchema = z.strictObject({ id: idSchema, label: z.string().max(400).default('') })

export const inspectionSchema = z.strictObject({
  format: z.literal('throwmark/inspection@1'),
  units: unitsSchema,
  shaft: shaftSchema,
  journals: z.array(journalSchema),
  photos: z.array(photoSchema).default([]),
  marks: z.array(markSchema).default([]),
  sizes: z.array(sizesSchema).default([]),
  cut: cutSchema.optional(),
})

export type Units = z.infer<typeof unitsSchema>
export type Inspection = z.infer<typeof inspectionSchema>
/** An inspection whose lengths are all in mm. */
export type InspectionMm = Inspection & { units: 'mm' }

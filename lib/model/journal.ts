/** A journal as a person sets it up: sizes, ends, oil holes, coating. Lengths in the document's units. */
import { z } from 'zod'
import { idSchema, lengthSchema, positiveLengthSchema } from './primitives'

const tangentEndSchema = z.strictObject({
  form: z.literal('tangent'),
  radius: positiveLengthSchema,
  sigma: lengthSchema.min(0).optional(),
})
const undercutEndSchema = z.strictObject({ form: z.literal('undercut'), width: positiveLengthSchema })
const stepEndSchema = z.strictObject({ form: z.literal('step') })

/** How the cylinder ends: a quarter torus, a relief groove, or a sharp edge. */
export const journalEndSchema = z.discriminatedUnion('form', [tangentEndSchema, undercutEndSchema, stepEndSchema])

export const oilHoleSchema = z.strictObject({
  id: idSchema,
  angleDeg: z.number(),
  axial: lengthSchema,
  mouthAround: positiveLengthSchema,
  mouthAlong: positiveLengthSchema,
  tiltDeg: z.number().default(0),
})

export const coatingSchema = z.strictObject({
  kind: z.enum(['none', 'unknown', 'suspected', 'known']),
  perSide: positiveLengthSchema.nullable().default(null),
})

export const stripSchema = z.strictObject({
  diameter: positiveLengthSchema,
  thickness: positiveLengthSchema.optional(),
  toFront: z.enum(['front', 'rear']),
  frontEdge: lengthSchema.nullable().default(null),
  zeroAngleDeg: z.number().nullable().default(null),
  gapMm: z.number().nullable().default(null),
})

export const journalSchema = z.strictObject({
  id: idSchema,
  kind: z.enum(['pin', 'main']),
  diameter: positiveLengthSchema,
  width: positiveLengthSchema,
  fillets: z.strictObject({ front: journalEndSchema, rear: journalEndSchema }),
  oilHoles: z.array(oilHoleSchema).default([]),
  coating: coatingSchema.default({ kind: 'unknown', perSide: null }),
  overheated: z.boolean().default(false),
  strip: stripSchema.optional(),
})

export type JournalEnd = z.infer<typeof journalEndSchema>
export type OilHole = z.infer<typeof oilHoleSchema>
export type Coating = z.infer<typeof coatingSchema>
export type Journal = z.infer<typeof journalSchema>

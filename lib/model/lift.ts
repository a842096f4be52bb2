/**
 * A flat lift: a tape lift or a paper rubbing of a journal's cylinder, laid flat and photographed, with the points of known place that a person
 * tapped in the picture and the edges and witness line they know. Lengths in mm.
 */
import { z } from 'zod'
import { idSchema, pixelSchema } from './primitives'

/** A point of the picture whose place on the flat lift is known: on a rule beside it, or on the lift's own grid. null: tapped, not typed yet. */
export const liftScalePointSchema = z.strictObject({ pixel: pixelSchema, xMm: z.number().nullable(), yMm: z.number().nullable() })

/** Points along one line that runs around the journal: a tangent line, or an inked line at that axial place. */
export const liftEdgeSchema = z.strictObject({
  at: z.union([z.literal('tangent-line'), z.number()]).default('tangent-line'),
  pixels: z.array(pixelSchema).default([]),
})

/** Points along one line that runs along the shaft at a known angle. */
export const liftWitnessSchema = z.strictObject({ angleDeg: z.number().default(0), pixels: z.array(pixelSchema).default([]) })

export const liftSchema = z.strictObject({
  id: idSchema,
  journalId: idSchema,
  file: z.string().min(1).max(400),
  width: z.int().positive(),
  height: z.int().positive(),
  kind: z.enum(['tape', 'rubbing']).default('tape'),
  /** How the picture shows the surface: as one sees it from outside, or its mirror image. */
  shows: z.enum(['outside', 'mirrored']).default('outside'),
  /** Of tape or paper, mm: wrapped on the journal its middle lies that half further out. */
  thicknessMm: z.number().min(0).max(2).default(0.1),
  scalePoints: z.array(liftScalePointSchema).max(60).default([]),
  front: liftEdgeSchema.default({ at: 'tangent-line', pixels: [] }),
  rear: liftEdgeSchema.default({ at: 'tangent-line', pixels: [] }),
  witness: liftWitnessSchema.default({ angleDeg: 0, pixels: [] }),
  /** One standard deviation of a tapped point, px. */
  pickSigmaPx: z.number().positive().optional(),
  /** One standard deviation of how well the points' places are known, mm; a rule's graduations (common practice, no source). */
  scaleSigmaMm: z.number().min(0).max(10).default(0.1),
  /** One standard deviation of how well edges and witness line lie where they are said to, mm (common practice, no source). */
  lineSigmaMm: z.number().min(0).max(10).default(0.3),
  note: z.string().max(4000).optional(),
})

/** `lifts.json` in a bundle; the pictures lie beside it under the names that `file` gives. */
export const liftsFileSchema = z.strictObject({
  format: z.literal('throwmark/lifts@1'),
  units: z.literal('mm'),
  lifts: z.array(liftSchema),
})

export type Lift = z.infer<typeof liftSchema>
export type LiftScalePoint = z.infer<typeof liftScalePointSchema>
export type LiftEdge = z.infer<typeof liftEdgeSchema>

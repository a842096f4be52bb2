/** What the program answers, `throwmark/findings@1`: mm and degrees throughout. Derived on reading, never stored. */
import { z } from 'zod'

export const patternSchema = z.enum([
  'radius-crack',
  'oil-hole-crack',
  'diagonal-crack',
  'unresolved',
  'near-oil-hole',
  'axial-check',
  'score-ring',
  'plating-craze',
  'line-around',
  'patch',
  'pit-or-stain',
])
export const markConcernSchema = z.enum(['treat-as-cracked', 'hold', 'record'])
export const journalConcernSchema = z.enum(['treat-as-cracked', 'hold', 'record', 'nothing-recorded'])

export const reasonSchema = z.object({
  code: z.string(),
  text: z.string(),
  value: z.union([z.number(), z.string()]).nullable(),
  limit: z.number().nullable(),
  unit: z.enum(['mm', 'deg', 'px', '']),
})
export const nextTestSchema = z.object({ code: z.string(), text: z.string() })
export const warningSchema = z.object({ code: z.string(), text: z.string() })

export const photoFindingSchema = z.object({
  id: z.string(),
  trusted: z.boolean(),
  rollKnown: z.boolean(),
  slideKnown: z.boolean(),
  rmsPx: z.number().nullable(),
  focalPx: z.number().nullable(),
  k1: z.number().nullable(),
  warnings: z.array(warningSchema),
})

export const markFindingSchema = z.object({
  id: z.string(),
  journalId: z.string(),
  shape: z.enum(['line', 'area']),
  lengthMm: z.number().nullable(),
  angleToAxisDeg: z.number().nullable(),
  signedAngleDeg: z.number().nullable(),
  resultant: z.number().nullable(),
  worstAngleDeg: z.number().nullable(),
  aroundDeg: z.number().nullable(),
  alongMm: z.number().nullable(),
  filletFrontMm: z.number().nullable(),
  filletRearMm: z.number().nullable(),
  filletNearestMm: z.number().nullable(),
  intoFilletMm: z.number().nullable(),
  oilHoles: z.array(z.object({ id: z.string(), distanceMm: z.number(), aimed: z.boolean() })).nullable(),
  sigma: z.object({
    angleDeg: z.number().nullable(),
    filletMm: z.number().nullable(),
    oilHoleMm: z.number().nullable(),
    lengthMm: z.number().nullable(),
  }),
  points: z.array(z.object({ angleDeg: z.number(), axial: z.number().nullable(), s: z.number().nullable() })),
  pattern: patternSchema,
  concern: markConcernSchema,
  borderline: z.boolean(),
  couldBe: z.array(patternSchema),
  reasons: z.array(reasonSchema),
  nextTests: z.array(nextTestSchema),
})

export const groupSchema = z.object({
  id: z.string(),
  kind: z.enum(['parallel', 'network', 'crossed', 'chain']),
  markIds: z.array(z.string()),
})

export const coverageSchema = z.object({
  cylinder: z.number(),
  frontFillet: z.number().nullable(),
  rearFillet: z.number().nullable(),
  holeRims: z.number().nullable(),
})

/** How a printed strip lies on the journal, from all photographs that show it; null where nothing tells a place. */
export const stripFindingSchema = z.object({
  scale: z.number(),
  skewMm: z.number(),
  frontEdgeMm: z.number().nullable(),
  zeroAngleDeg: z.number().nullable(),
})

export const journalFindingSchema = z.object({
  id: z.string(),
  concern: journalConcernSchema,
  coverage: coverageSchema,
  strip: stripFindingSchema.optional(),
})

export const findingsSchema = z.object({
  format: z.literal('throwmark/findings@1'),
  rules: z.object({ version: z.string(), values: z.record(z.string(), z.unknown()) }),
  photos: z.array(photoFindingSchema),
  marks: z.array(markFindingSchema),
  groups: z.array(groupSchema),
  journals: z.array(journalFindingSchema),
  shaft: z.object({ concern: journalConcernSchema, statement: z.string() }),
})

export type Pattern = z.infer<typeof patternSchema>
export type MarkConcern = z.infer<typeof markConcernSchema>
export type JournalConcern = z.infer<typeof journalConcernSchema>
export type Reason = z.infer<typeof reasonSchema>
export type NextTest = z.infer<typeof nextTestSchema>
export type Warning = z.infer<typeof warningSchema>
export type PhotoFinding = z.infer<typeof photoFindingSchema>
export type MarkFinding = z.infer<typeof markFindingSchema>
export type Group = z.infer<typeof groupSchema>
export type Coverage = z.infer<typeof coverageSchema>
export type JournalFinding = z.infer<typeof journalFindingSchema>
export type Findings = z.infer<typeof findingsSchema>

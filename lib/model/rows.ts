/** Rows as the server keeps and answers them: a document of the inspection file beside its uuid, version and place in the order. */
import { z } from 'zod'
import { cutSchema, sizesSchema } from './cut'
import { journalSchema } from './journal'
import { shaftSchema } from './inspection'
import { liftSchema } from './lift'
import { markSchema } from './mark'
import { photoSchema } from './photo'

/** Made by the client, so that a repeated request is harmless. */
export const rowIdSchema = z.uuid()
export const versionSchema = z.int().min(1)

const rowSchema = z.object({
  id: rowIdSchema,
  version: versionSchema,
  /** Rows of a shaft stand in this order, front to rear or first to last. */
  position: z.int(),
  updatedAt: z.iso.datetime(),
  /** Set while the row is taken away; it can be put back. */
  removedAt: z.iso.datetime().nullable(),
})
const memberSchema = rowSchema.extend({ shaftId: rowIdSchema })

/** What EXIF says of the lens; null where it is silent. Millimetres. */
export const lensSchema = z.object({ focal35Mm: z.number().positive().nullable(), focalMm: z.number().positive().nullable() })

/** The kept original. Width and height after EXIF orientation. */
export const photoFileSchema = z.object({
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  bytes: z.int().positive(),
  mime: z.enum(['image/jpeg', 'image/png', 'image/webp', 'image/tiff', 'image/heic']),
  width: z.int().positive(),
  height: z.int().positive(),
  lens: lensSchema,
})

export const shaftRowSchema = rowSchema.extend({ shaft: shaftSchema, cut: cutSchema.nullable() })
export const journalRowSchema = memberSchema.extend({ journal: journalSchema })
export const photoRowSchema = memberSchema.extend({ photo: photoSchema, file: photoFileSchema.nullable() })
export const markRowSchema = memberSchema.extend({ mark: markSchema })
export const sizesRowSchema = memberSchema.extend({ sizes: sizesSchema })
/** A lift never stands without its picture. */
export const liftRowSchema = memberSchema.extend({ lift: liftSchema, file: photoFileSchema })

/** A shaft with everything that belongs to it, removed rows left out. */
export const shaftDocumentSchema = z.object({
  shaft: shaftRowSchema,
  journals: z.array(journalRowSchema),
  photos: z.array(photoRowSchema),
  marks: z.array(markRowSchema),
  sizes: z.array(sizesRowSchema),
})

export const shaftSummarySchema = z.object({
  shaft: shaftRowSchema,
  journals: z.array(z.object({ id: z.string(), kind: z.enum(['pin', 'main']), photos: z.int(), marks: z.int() })),
})

export type Lens = z.infer<typeof lensSchema>
export type PhotoFile = z.infer<typeof photoFileSchema>
export type ShaftRow = z.infer<typeof shaftRowSchema>
export type JournalRow = z.infer<typeof journalRowSchema>
export type PhotoRow = z.infer<typeof photoRowSchema>
export type MarkRow = z.infer<typeof markRowSchema>
export type SizesRow = z.infer<typeof sizesRowSchema>
export type LiftRow = z.infer<typeof liftRowSchema>
export type ShaftDocument = z.infer<typeof shaftDocumentSchema>
export type ShaftSummary = z.infer<typeof shaftSummarySchema>

/** One gesture as a list of edits: all of them are written, or none. */
import { z } from 'zod'
import { cutSchema, sizesSchema } from './cut'
import { shaftSchema } from './inspection'
import { journalSchema } from './journal'
import { liftSchema } from './lift'
import { markSchema } from './mark'
import { photoSchema } from './photo'
import {
  journalRowSchema,
  liftRowSchema,
  markRowSchema,
  photoRowSchema,
  rowIdSchema,
  shaftRowSchema,
  sizesRowSchema,
  versionSchema,
} from './rows'

export const rowKindSchema = z.enum(['journal', 'photo', 'mark', 'sizes', 'lift'])

const createOf = <Kind extends string, Value extends z.ZodType>(kind: Kind, value: Value) =>
  z.strictObject({ op: z.literal('create'), kind: z.literal(kind), id: rowIdSchema, position: z.int().optional(), value })
const updateOf = <Kind extends string, Value extends z.ZodType>(kind: Kind, value: Value) =>
  z.strictObject({
    op: z.literal('update'),
    kind: z.literal(kind),
    id: rowIdSchema,
    version: versionSchema,
    position: z.int().optional(),
    value,
  })

/** A lift comes in with its picture, by an upload. */
const createSchema = z.discriminatedUnion('kind', [
  createOf('journal', journalSchema),
  createOf('photo', photoSchema),
  createOf('mark', markSchema),
  createOf('sizes', sizesSchema),
])
const updateSchema = z.discriminatedUnion('kind', [
  updateOf('journal', journalSchema),
  updateOf('photo', photoSchema),
  updateOf('mark', markSchema),
  updateOf('sizes', sizesSchema),
  updateOf('lift', liftSchema),
])
const shaftUpdateSchema = z.strictObject({
  op: z.literal('update'),
  kind: z.literal('shaft'),
  id: rowIdSchema,
  version: versionSchema,
  value: z.strictObject({ shaft: shaftSchema, cut: cutSchema.nullable() }),
})
const removeSchema = z.strictObject({ op: z.literal('remove'), kind: rowKindSchema, id: rowIdSchema, version: versionSchema })
const restoreSchema = z.strictObject({ op: z.literal('restore'), kind: rowKindSchema, id: rowIdSchema, version: versionSchema })

export const editSchema = z.union([createSchema, updateSchema, shaftUpdateSchema, removeSchema, restoreSchema])
export const editsSchema = z.strictObject({ edits: z.array(editSchema).min(1).max(2000) })

/** Every row that the edits touched, as it stands now; removing a journal or a photo takes what hangs on it along. */
export const editedRowSchema = z.discriminatedUnion('kind', [
  z.object({ kind: z.literal('shaft'), row: shaftRowSchema }),
  z.object({ kind: z.literal('journal'), row: journalRowSchema }),
  z.object({ kind: z.literal('photo'), row: photoRowSchema }),
  z.object({ kind: z.literal('mark'), row: markRowSchema }),
  z.object({ kind: z.literal('sizes'), row: sizesRowSchema }),
  z.object({ kind: z.literal('lift'), row: liftRowSchema }),
])
export const editedRowsSchema = z.object({ rows: z.array(editedRowSchema) })

export type RowKind = z.infer<typeof rowKindSchema>
export type Edit = z.infer<typeof editSchema>
export type EditedRow = z.infer<typeof editedRowSchema>

/** How far the photographs of each journal are laid beside each other, and their fits once they are, as plain JSON. */
import { z } from 'zod'
import { fitRecordSchema } from './fit-record'

export const alignedPhotosSchema = z.array(z.object({ photoId: z.string(), fit: fitRecordSchema }))

export const journalAlignmentSchema = z.object({
  /** Name of the journal. */
  journalId: z.string(),
  /** `not-needed`: no photograph lacks its angle about the shaft, or none has it to lend. */
  state: z.enum(['not-needed', 'working', 'ready', 'failed']),
  /** Photographs looked at so far. */
  done: z.int(),
  of: z.int(),
  /** sha256 of what it is made from; where that has changed since, the fits no longer hold. */
  key: z.string().regex(/^[0-9a-f]{64}$/),
  /** When ready: the fits that change, by the photographs' names. */
  photos: alignedPhotosSchema.optional(),
  /** When failed: why. */
  detail: z.string().optional(),
})
export const alignmentsSchema = z.object({ journals: z.array(journalAlignmentSchema) })

export type AlignedPhotos = z.infer<typeof alignedPhotosSchema>
export type JournalAlignment = z.infer<typeof journalAlignmentSchema>

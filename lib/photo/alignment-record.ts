/** How far the photographs of each journal are laid beside each other, and their fits once they are, as plain JSON. */
import { z } from 'zod'
import { warningSchema } from '../model/findings'
import { done, failed, type Result } from '../model/result'
import type { Fit, FitFailure } from './cylinder-fit'
import { fitOfRecord, fitRecordSchema, recordOfFit } from './fit-record'

/** A photograph whose fit changes, or that was looked for in vain. */
export const alignedPhotosSchema = z.array(
  z.union([
    z.object({ photoId: z.string(), fit: fitRecordSchema }),
    /** Its printed strip was looked for in vain, and nothing else fits it. */
    z.object({ photoId: z.string(), strip: warningSchema }),
    z.object({ photoId: z.string(), notPlaced: z.enum(['too-little-alike', 'ambiguous']) }),
  ]),
)

export const journalAlignmentSchema = z.object({
  /** Name of the journal. */
  journalId: z.string(),
  /** `not-needed`: no photograph lacks its angle about the shaft, or none has it to lend. `stopped`: by a person, until asked to go on. */
  state: z.enum(['not-needed', 'working', 'ready', 'stopped', 'failed']),
  /** Photographs looked at so far. */
  done: z.int(),
  of: z.int(),
  /** sha256 of what it is made from; where that has changed since, the fits no longer hold. */
  key: z.string().regex(/^[0-9a-f]{64}$/),
  /** When ready: the fits that change, by the photographs' names. */
  photos: alignedPhotosSchema.optional(),
  /** When failed: why. When ready: which pictures were not to be had. */
  detail: z.string().optional(),
})
export const alignmentsSchema = z.object({ journals: z.array(journalAlignmentSchema) })

/** What a person asks of an alignment: to stop it, or to begin it again. */
export const alignmentWishSchema = z.strictObject({ journalId: z.string(), wish: z.enum(['stop', 'go-on']) })

export type AlignmentWish = z.infer<typeof alignmentWishSchema>
export type AlignedPhotos = z.infer<typeof alignedPhotosSchema>
export type JournalAlignment = z.infer<typeof journalAlignmentSchema>

export function recordOfAlignment(outcomes: ReadonlyMap<string, Result<Fit, FitFailure>>): AlignedPhotos {
  return [...outcomes].flatMap(([photoId, outcome]): AlignedPhotos => {
    if (outcome.ok) return [{ photoId, fit: recordOfFit(outcome.value) }]
    if (outcome.reason.code === 'strip') return [{ photoId, strip: outcome.reason.warning }]
    return outcome.reason.code === 'not-placed' ? [{ photoId, notPlaced: outcome.reason.why }] : []
  })
}

/** `own`: what the photograph's own handles give. */
export function outcomeOfRecord(record: AlignedPhotos[number], own: Result<Fit, FitFailure>): Result<Fit, FitFailure> {
  if ('fit' in record) return done(fitOfRecord(record.fit))
  if ('strip' in record) return failed({ code: 'strip', warning: record.strip })
  return own.ok ? own : failed({ code: 'not-placed', why: record.notPlaced, own: own.reason })
}

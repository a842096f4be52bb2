/** Every route of the program, as data. Routes are made from these, and the OpenAPI document lists them. */
import { z } from 'zod'
import { cutSchema, sizesSchema } from '../model/cut'
import { editedRowsSchema, editsSchema } from '../model/edit'
import { findingsSchema } from '../model/findings'
import { inspectionSchema, shaftSchema } from '../model/inspection'
import { journalSchema } from '../model/journal'
import { liftSchema } from '../model/lift'
import { markSchema } from '../model/mark'
import { photoSchema } from '../model/photo'
import {
  journalRowSchema,
  liftRowSchema,
  markRowSchema,
  photoRowSchema,
  rowIdSchema,
  shaftDocumentSchema,
  shaftRowSchema,
  shaftSummarySchema,
  sizesRowSchema,
} from '../model/rows'
import { alignmentsSchema, alignmentWishSchema } from '../photo/alignment-record'
import { previewWidths } from '../store/previews'
import type { Endpoint } from './endpoint'
import { problemSchema } from './problem'

const byId = z.object({ id: rowIdSchema })
const nothing = z.strictObject({})
const noBody = z.undefined()
const position = z.int().optional()
const pictureTypes = ['image/jpeg', 'image/png', 'image/webp', 'image/tiff', 'image/heic', 'application/octet-stream'] as const
const fileNameSchema = z.string().min(1).max(400)

function endpoint<Params extends z.ZodType, Query extends z.ZodType = typeof nothing, Body extends z.ZodType = typeof noBody>(
  method: Endpoint['method'],
  path: string,
  summary: string,
  parts: { params: Params; query?: Query; body?: Body; rawBody?: readonly string[]; ifMatch?: boolean; answers: Endpoint['answers'] },
): Endpoint<Params, Query, Body> {
  const { query = nothing as unknown as Query, body = noBody as unknown as Body, ifMatch = false } = parts
  return { ...parts, method, path, summary, query, body, ifMatch }
}

const ok = (description: string, schema: z.ZodType) => ({ status: 200, description, schema })
const made = (description: string, schema: z.ZodType) => [
  { status: 201, description: `${description}, new`, schema },
  { status: 200, description: `${description}, there already`, schema },
]

/** Listing the rows on a shaft; reading, replacing and removing one. */
function rowEndpoints<Body extends z.ZodRawShape>(many: string, row: z.ZodType, document: Body) {
  return {
    list: endpoint('GET', `/api/shafts/{id}/${many}`, `The ${many} of a shaft, in order`, {
      params: byId,
      answers: [ok('the rows', z.object({ rows: z.array(row) }))],
    }),
    read: endpoint('GET', `/api/${many}/{id}`, `One row of ${many}`, { params: byId, answers: [ok('the row', row)] }),
    replace: endpoint('PUT', `/api/${many}/{id}`, `Replaces the document of one row of ${many}`, {
      params: byId,
      body: z.strictObject({ position, ...document }),
      ifMatch: true,
      answers: [ok('the row as it stands now', row)],
    }),
    remove: endpoint('DELETE', `/api/${many}/{id}`, `Removes one row of ${many}; an edit "restore" puts it back`, {
      params: byId,
      ifMatch: true,
      answers: [ok('every row that went with it', editedRowsSchema)],
    }),
  }
}

function addEndpoint<Body extends z.ZodRawShape>(many: string, row: z.ZodType, document: Body) {
  return endpoint('POST', `/api/shafts/{id}/${many}`, `Adds one row of ${many} with an id made by the client`, {
    params: byId,
    body: z.strictObject({ id: rowIdSchema, position, ...document }),
    answers: made('the row', row),
  })
}

const uploadResultsSchema = z.object({
  results: z.array(z.union([z.object({ file: z.string(), row: photoRowSchema }), z.object({ file: z.string(), problem: problemSchema })])),
})
export const importedSchema = z.object({
  document: shaftDocumentSchema,
  /** Photos whose picture was not in what was imported, by their names. */
  photosAbsent: z.array(z.string()),
})

export const catalogue = {
  health: endpoint('GET', '/api/health', 'Whether database and photo store both answer', {
    params: nothing,
    answers: [
      ok('both answer', z.object({ ok: z.literal(true) })),
      { status: 503, description: 'one does not answer', schema: problemSchema },
    ],
  }),
  openapi: endpoint('GET', '/api/openapi.json', 'This document (OpenAPI 3.1)', {
    params: nothing,
    answers: [ok('the document', z.record(z.string(), z.unknown()))],
  }),
  shafts: {
    list: endpoint('GET', '/api/shafts', 'The shafts, last worked on first', {
      params: nothing,
      query: z.strictObject({ search: z.string().max(400).optional(), removed: z.enum(['true', 'false']).optional() }),
      answers: [ok('the shafts', z.object({ shafts: z.array(shaftSummarySchema) }))],
    }),
    add: endpoint('POST', '/api/shafts', 'A new shaft with its journals', {
      params: nothing,
      body: z.strictObject({
        id: rowIdSchema,
        shaft: shaftSchema,
        cut: cutSchema.nullable().default(null),
        journals: z
          .array(z.strictObject({ id: rowIdSchema, journal: journalSchema }))
          .max(200)
          .default([]),
      }),
      answers: made('the shaft', shaftDocumentSchema),
    }),
    read: endpoint('GET', '/api/shafts/{id}', 'A shaft with everything that belongs to it', {
      params: byId,
      answers: [ok('the shaft; ETag: the version of its own row', shaftDocumentSchema)],
    }),
    replace: endpoint('PUT', '/api/shafts/{id}', 'Name, label and cut plan of a shaft', {
      params: byId,
      body: z.strictObject({ shaft: shaftSchema, cut: cutSchema.nullable() }),
      ifMatch: true,
      answers: [ok('the row as it stands now', shaftRowSchema)],
    }),
    remove: endpoint('DELETE', '/api/shafts/{id}', 'Removes a shaft; it can be put back', {
      params: byId,
      ifMatch: true,
      answers: [ok('the removed row', shaftRowSchema)],
    }),
    restore: endpoint('POST', '/api/shafts/{id}/restore', 'Puts a removed shaft back', {
      params: byId,
      ifMatch: true,
      answers: [ok('the row as it stands now', shaftRowSchema)],
    }),
    edits: endpoint(
      'POST',
      '/api/shafts/{id}/edits',
      'One gesture: all of its edits are written, or none. Each carries its row’s version',
      {
        params: byId,
        body: editsSchema,
        answers: [ok('every row touched', editedRowsSchema)],
      },
    ),
    findings: endpoint('GET', '/api/shafts/{id}/findings', 'What the rule card says of every mark; computed on reading', {
      params: byId,
      answers: [ok('the findings', findingsSchema)],
    }),
    alignments: endpoint(
      'GET',
      '/api/shafts/{id}/alignments',
      'How far the photographs of each journal are laid beside each other; what is needed and not there yet is begun',
      { params: byId, answers: [ok('one entry a journal, with the aligned fits where they are ready', alignmentsSchema)] },
    ),
    wishForAlignment: endpoint('POST', '/api/shafts/{id}/alignments', 'Stops the laying of a journal’s photographs, or lets it go on', {
      params: byId,
      body: alignmentWishSchema,
      answers: [ok('how they stand now, one entry a journal', alignmentsSchema)],
    }),
    inspection: endpoint('GET', '/api/shafts/{id}/inspection', 'The inspection file, lengths in mm', {
      params: byId,
      answers: [ok('the file', inspectionSchema)],
    }),
    bundle: endpoint('GET', '/api/shafts/{id}/bundle', 'The inspection file, its photographs and its flat lifts in a zip', {
      params: byId,
      answers: [{ status: 200, description: 'the bundle', mediaTypes: ['application/zip'] }],
    }),
    marksCsv: endpoint('GET', '/api/shafts/{id}/marks.csv', 'The marks with their numbers as CSV (RFC 4180)', {
      params: byId,
      answers: [{ status: 200, description: 'one line a mark', mediaTypes: ['text/csv'] }],
    }),
  },
  journals: {
    ...rowEndpoints('journals', journalRowSchema, { journal: journalSchema }),
    add: addEndpoint('journals', journalRowSchema, { journal: journalSchema }),
    rollout: endpoint('GET', '/api/journals/{id}/rollout.png', 'The journal’s map from its photographs; alpha is coverage', {
      params: byId,
      query: z.strictObject({ pxPerMm: z.coerce.number().positive().max(40).default(8) }),
      answers: [{ status: 200, description: 'the map, rear on top', mediaTypes: ['image/png'] }],
    }),
    strip: endpoint('GET', '/api/journals/{id}/strip.pdf', 'The printed strip for the journal, to be printed at 100 %', {
      params: byId,
      query: z.strictObject({ paper: z.enum(['a4', 'letter']).default('a4') }),
      answers: [{ status: 200, description: 'the sheet', mediaTypes: ['application/pdf'] }],
    }),
  },
  photos: {
    ...rowEndpoints('photos', photoRowSchema, { photo: photoSchema }),
    upload: endpoint('POST', '/api/shafts/{id}/photos', 'Pictures come in: one as the body, or several as a multipart form', {
      params: byId,
      query: z.strictObject({ journalId: z.string().optional(), file: fileNameSchema.optional(), id: rowIdSchema.optional() }),
      rawBody: [...pictureTypes, 'multipart/form-data'],
      answers: [
        ...made('the photo, for one picture as the body', photoRowSchema),
        { status: 207, description: 'for a form: one result a picture, kept or refused', schema: uploadResultsSchema },
      ],
    }),
    original: endpoint('GET', '/api/photos/{id}/original', 'The original, byte for byte', {
      params: byId,
      answers: [{ status: 200, description: 'the picture', mediaTypes: pictureTypes.slice(0, 5) }],
    }),
    preview: endpoint('GET', '/api/photos/{id}/preview', 'The upright picture: WebP of a width in px, or JPEG in full size', {
      params: byId,
      query: z.strictObject({ width: z.enum(previewWidths).default('1600') }),
      answers: [{ status: 200, description: 'the picture', mediaTypes: ['image/webp', 'image/jpeg'] }],
    }),
    attach: endpoint('PUT', '/api/photos/{id}/file', 'The picture of a photo that was imported without it', {
      params: byId,
      query: z.strictObject({ file: fileNameSchema.optional() }),
      rawBody: pictureTypes,
      ifMatch: true,
      answers: [ok('the row as it stands now', photoRowSchema)],
    }),
  },
  marks: { ...rowEndpoints('marks', markRowSchema, { mark: markSchema }), add: addEndpoint('marks', markRowSchema, { mark: markSchema }) },
  sizes: {
    ...rowEndpoints('sizes', sizesRowSchema, { sizes: sizesSchema }),
    add: addEndpoint('sizes', sizesRowSchema, { sizes: sizesSchema }),
  },
  lifts: {
    ...rowEndpoints('lifts', liftRowSchema, { lift: liftSchema }),
    upload: endpoint('POST', '/api/shafts/{id}/lifts', 'A flat lift comes in with its picture as the body', {
      params: byId,
      query: z.strictObject({ journalId: z.string().optional(), file: fileNameSchema.optional(), id: rowIdSchema.optional() }),
      rawBody: pictureTypes,
      answers: made('the lift', liftRowSchema),
    }),
    original: endpoint('GET', '/api/lifts/{id}/original', 'The original picture of a lift, byte for byte', {
      params: byId,
      answers: [{ status: 200, description: 'the picture', mediaTypes: pictureTypes.slice(0, 5) }],
    }),
    preview: endpoint('GET', '/api/lifts/{id}/preview', 'The upright picture of a lift: WebP of a width in px, or JPEG in full size', {
      params: byId,
      query: z.strictObject({ width: z.enum(previewWidths).default('1600') }),
      answers: [{ status: 200, description: 'the picture', mediaTypes: ['image/webp', 'image/jpeg'] }],
    }),
  },
  example: endpoint('POST', '/api/example', 'Puts the example shaft on the bench, or back on it', {
    params: nothing,
    answers: [ok('its row id', z.object({ shaftId: rowIdSchema }))],
  }),
  imports: endpoint('POST', '/api/imports', 'A shaft from an inspection file or a bundle, told apart by content', {
    params: nothing,
    query: z.strictObject({ id: rowIdSchema.optional() }),
    rawBody: ['application/json', 'application/zip', 'application/octet-stream'],
    answers: made('the shaft', importedSchema),
  }),
} as const

/** What a route takes and answers, as data: the wrapper checks by it, and the OpenAPI document is made from it. */
import type { z } from 'zod'

export type Answer = { status: number; description: string; schema?: z.ZodType; mediaTypes?: readonly string[] }

export type Endpoint<Params extends z.ZodType = z.ZodType, Query extends z.ZodType = z.ZodType, Body extends z.ZodType = z.ZodType> = {
  method: 'GET' | 'POST' | 'PUT' | 'DELETE'
  /** As OpenAPI writes it: `/api/shafts/{id}`. */
  path: string
  summary: string
  params: Params
  query: Query
  /** JSON body, checked at the door. */
  body: Body
  /** Body that the handler reads itself: its media types. */
  rawBody?: readonly string[]
  /** Whether the row's version must come as If-Match. */
  ifMatch: boolean
  answers: readonly Answer[]
}

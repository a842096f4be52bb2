/** The door for inspection files: schema, then ids and geometry, then every length in mm. */
import { type Fault, jsonPath } from '../model/fault'
import { type InspectionMm, inspectionSchema } from '../model/inspection'
import { done, failed, type Result } from '../model/result'
import { schemaFaults } from '../model/schema-faults'
import { inspectionFaults } from './inspection-check'
import { inMillimetres } from './inspection-units'

export function readInspection(json: unknown): Result<InspectionMm, Fault[]> {
  const parsed = inspectionSchema.safeParse(json, { reportInput: true })
  if (!parsed.success) return failed(schemaFaults(parsed.error))
  const faults = inspectionFaults(parsed.data)
  return faults.length > 0 ? failed(faults) : done(inMillimetres(parsed.data))
}

/** The same from the text of a file: a text that is no JSON is one fault at the root. */
export function readInspectionText(text: string): Result<InspectionMm, Fault[]> {
  let json: unknown
  try {
    json = JSON.parse(text.replace(/^\uFEFF/, ''))
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error)
    return failed([
      { path: jsonPath([]), fault: `this is not JSON (${why})`, remedy: 'export the file again, or mend it in a text editor' },
    ])
  }
  return readInspection(json)
}

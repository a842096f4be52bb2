/** Flat lifts in a bundle: `lifts.json` beside the inspection file, their pictures under the names it gives. */
import { badInput } from '../model/app-error'
import type { Fault } from '../model/fault'
import type { InspectionMm } from '../model/inspection'
import { type Lift, liftsFileSchema } from '../model/lift'
import { schemaFaults } from '../model/schema-faults'
import { type KeptPicture, keepPicture } from './photo-intake'
import { refuseOtherSize } from './photos'

export const liftsFile = 'lifts.json'

export function liftsText(lifts: readonly Lift[]): string {
  return `${JSON.stringify({ format: 'throwmark/lifts@1', units: 'mm', lifts }, null, 1)}\n`
}

/** @throws AppError bad-input, each fault's path beginning with the file's name */
export function readLiftsText(bytes: Uint8Array, inspection: InspectionMm, files: ReadonlyMap<string, Uint8Array>): Lift[] {
  const parsed = liftsFileSchema.safeParse(jsonOf(bytes), { reportInput: true })
  if (!parsed.success) throw refused(schemaFaults(parsed.error))
  const { lifts } = parsed.data
  const faults = lifts.flatMap(({ id, journalId, file }, index): Fault[] => {
    const path = `$.lifts[${index}]`
    return [
      ...(lifts.findIndex((other) => other.id === id) < index
        ? [{ path: `${path}.id`, fault: `the id ${JSON.stringify(id)} stands twice`, remedy: 'give each lift an id of its own' }]
        : []),
      ...(inspection.journals.some((journal) => journal.id === journalId)
        ? []
        : [
            {
              path: `${path}.journalId`,
              fault: `there is no journal named ${JSON.stringify(journalId)}`,
              remedy: 'name a journal of inspection.json',
            },
          ]),
      ...(files.has(file)
        ? []
        : [{ path: `${path}.file`, fault: `${file} is not in the bundle`, remedy: 'put the picture in, or take the lift out' }]),
    ]
  })
  if (faults.length > 0) throw refused(faults)
  return lifts
}

/** The pictures kept so far with those of the lifts, by name; each is checked and kept before any row is written. */
export async function keptLiftPictures(
  lifts: readonly Lift[],
  files: ReadonlyMap<string, Uint8Array>,
  before: ReadonlyMap<string, KeptPicture>,
): Promise<Map<string, KeptPicture>> {
  const kept = new Map(before)
  for (const [index, lift] of lifts.entries()) {
    const picture = kept.get(lift.file) ?? (await keepPicture(lift.file, files.get(lift.file) as Uint8Array))
    refuseOtherSize(picture, lift, `${liftsFile} $.lifts[${index}]`)
    kept.set(lift.file, picture)
  }
  return kept
}

function jsonOf(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (error) {
    throw refused([{ path: '$', fault: `this is not JSON (${(error as Error).message})`, remedy: 'export the bundle again' }])
  }
}

function refused(faults: readonly Fault[]) {
  return badInput(faults.map((fault) => ({ ...fault, path: `${liftsFile} ${fault.path}` })))
}

/** Whether a changed journal can go to the server as it stands: nothing that was drawn, picked or measured on it may end up off it. */
import { inspectionFaults } from '@/lib/journal/inspection-check'
import { faultLine } from '@/lib/model/fault'
import type { Journal } from '@/lib/model/journal'
import type { ShaftDocument } from '@/lib/model/rows'

/** What would no longer lie on the journal called `name`, one line each; empty where nothing stands in the way. */
export function whatWouldFallOff(document: ShaftDocument, name: string, changed: Journal): string[] {
  const own = <Value extends { journalId: string }>(values: Value[]) =>
    values.filter((value) => value.journalId === name).map((value) => ({ ...value, journalId: changed.id }))
  const photos = own(document.photos.map((row) => row.photo))
  const marks = own(document.marks.map((row) => row.mark))
  const sizes = own(document.sizes.map((row) => row.sizes))
  const faults = inspectionFaults({
    format: 'throwmark/inspection@1',
    units: 'mm',
    shaft: document.shaft.shaft,
    journals: [changed],
    photos,
    marks,
    sizes,
  })
  const lines = faults.map((fault) => {
    const place = /^\$\.(photos|marks|sizes)\[(\d+)\]/.exec(fault.path)
    const index = Number(place?.[2])
    if (place?.[1] === 'photos') return `Photograph ${photos[index]?.id}: ${fault.fault}.`
    if (place?.[1] === 'marks') return `Mark ${marks[index]?.id}: ${fault.fault}.`
    if (place?.[1] === 'sizes') return `Reading: ${fault.fault}.`
    return `${faultLine(fault)}.`
  })
  return [...new Set(lines)]
}

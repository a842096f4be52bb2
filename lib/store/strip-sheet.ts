/** The printed strip of a kept journal as a PDF. */
import { AppError } from '../model/app-error'
import type { ShaftDocument } from '../model/rows'
import { stripDesign, stripDiameters } from '../photo/printed-strip-design'
import type { Paper } from '../report/strip-layout'
import { stripPdf } from '../report/strip-pdf'

/** @throws AppError conflict for a diameter that no strip is made for */
export async function stripSheet(document: ShaftDocument, journalId: string, paper: Paper): Promise<Uint8Array<ArrayBuffer>> {
  const row = document.journals.find(({ journal }) => journal.id === journalId)
  if (!row) throw new AppError('not-found', `There is no journal named ${JSON.stringify(journalId)}.`)
  const { diameter, strip } = row.journal
  const design = stripDesign(strip?.diameter ?? diameter, strip?.thickness)
  if (!design)
    throw new AppError('conflict', `No strip is made for ${journalId}: it serves ${stripDiameters.least} to ${stripDiameters.most} mm.`)
  const { id, label } = document.shaft.shaft
  return Uint8Array.from(await stripPdf(design, { journalId, shaft: [id, label].filter(Boolean).join(', '), paper }))
}

/** `throwmark strip FILE --journal ID [--paper a4|letter] --out S.pdf`. */
import { writeFile } from 'node:fs/promises'
import { AppError, badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import { stripDesign, stripDiameters } from '../photo/printed-strip-design'
import { type Paper, sheets, stripPieces } from '../report/strip-layout'
import type { Command } from './command'
import { refuseBadPlace, writeWhole } from './out-file'
import { readInspectionFile } from './read-file'

export const stripCommand: Command = {
  name: 'strip',
  summary: 'the printed strip for a journal, as a PDF',
  help: `Writes a PDF with the strip of codes that is wrapped once round the journal, so that photographs of it are fitted without a
pick. Print it at 100 %; the line on the sheet must measure 100 mm. --paper is a4 (if left out) or letter. The strip is
made for the diameter of the journal's strip in the file, else for the journal's own: ${stripDiameters.least} to ${stripDiameters.most} mm.
Prints what is on the sheet. An older file of that name is replaced when the new one is whole.`,
  options: {
    journal: { required: true, value: 'ID' },
    paper: { required: false, value: 'a4|letter' },
    out: { required: true, value: 'S.pdf' },
  },
  files: ['FILE'],
  async run({ files, options }) {
    const paper = paperOf(options.paper)
    if (!/\.pdf$/i.test(options.out))
      throw new AppError('bad-input', `--out ${JSON.stringify(options.out)} does not end in .pdf; the strip is written as PDF: name it so`)
    const { inspection } = await readInspectionFile(files[0])
    const index = inspection.journals.findIndex((one) => one.id === options.journal)
    const journal = inspection.journals[index]
    if (!journal) {
      const known = inspection.journals.map((one) => one.id).join(', ') || 'none'
      throw badInput([
        { path: jsonPath(['journals']), fault: `there is no journal ${JSON.stringify(options.journal)}`, remedy: `name one of: ${known}` },
      ])
    }
    const diameter = journal.strip?.diameter ?? journal.diameter
    const design = stripDesign(diameter, journal.strip?.thickness)
    if (!design)
      throw badInput([
        {
          path: jsonPath(journal.strip ? ['journals', index, 'strip', 'diameter'] : ['journals', index, 'diameter']),
          fault: `no strip is made for ${Number(diameter.toFixed(3))} mm`,
          remedy: `a strip serves ${stripDiameters.least} to ${stripDiameters.most} mm; fit this journal's photographs by handles`,
        },
      ])
    await refuseBadPlace(options.out, 'PDF')
    const { stripPdf } = await import('../report/strip-pdf')
    const sheet = await stripPdf(design, { journalId: journal.id, shaft: inspection.shaft.label, paper })
    await writeWhole(options.out, (draft) => writeFile(draft, sheet))
    return {
      journalId: journal.id,
      out: options.out,
      paper,
      sheetMm: [sheets[paper].width, sheets[paper].height],
      diameterMm: design.diameter,
      thicknessMm: design.thickness,
      codes: { dictionary: 'ARUCO_MIP_36h12', firstId: design.firstId, count: design.markers },
      lengthMm: design.length,
      heightMm: design.height,
      pitchMm: design.pitch,
      codeMm: design.marker,
      tongueMm: design.tongue,
      checkLineMm: 100,
      pieces: stripPieces(design).map(({ from, to }) => ({ fromMm: from, toMm: to })),
    }
  },
}

function paperOf(text: string | undefined): Paper {
  if (text === undefined || text === 'a4') return 'a4'
  if (text === 'letter') return 'letter'
  throw new AppError('bad-input', `--paper ${JSON.stringify(text)} is not known; give a4 or letter`)
}

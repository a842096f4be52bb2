/** `throwmark assess FILE`. */
import { assess, offJournalFaults } from '../finding/assess'
import { badInput } from '../model/app-error'
import { alignedFits } from './aligned-fits'
import type { Command } from './command'
import { readInspectionFile } from './read-file'

export const assessCommand: Command = {
  name: 'assess',
  summary: 'fits every photo, measures every mark, applies the rules',
  help: `Prints throwmark/findings@1. FILE is an inspection file or a bundle; pictures are looked for beside it
and read for their EXIF data; where some photographs of a journal show no oil hole or witness mark, they are
laid beside the others by what they show alike; a close-up in which no side is seen is placed on them so too, or
refused with what would help. Nothing here clears a shaft: marks are what a person drew.`,
  options: {},
  files: ['FILE'],
  async run({ files }, say) {
    const file = await readInspectionFile(files[0])
    const { inspection, lensByPhoto, remarks } = file
    const fits = await alignedFits(file, say)
    const faults = offJournalFaults(inspection, fits)
    if (faults.length > 0) throw badInput(faults)
    for (const remark of remarks) say(remark)
    const findings = assess(inspection, lensByPhoto, fits)
    for (const photo of findings.photos) for (const warning of photo.warnings) say(`photo ${photo.id}: ${warning.text}`)
    return findings
  },
}

/** `throwmark rollout FILE --journal ID --px-per-mm N --out M.png`. */
import { AppError } from '../model/app-error'
import type { Command } from './command'
import { readInspectionFile } from './read-file'

export const rolloutCommand: Command = {
  name: 'rollout',
  summary: 'a journal’s map from all its photographs, as a PNG with its coverage in alpha',
  help: `Unrolls the surface of one journal from all its photographs: rear on top, angle to the right, seen from outside.
Width round(2 pi R N), height round(S N) px; alpha 255 where a photograph shows the surface, 0 where none does.
Photographs whose roll is not known, or whose fit is not trusted, are left out and named on standard error.
An older file named M.png is replaced when the new one is whole.`,
  options: {
    journal: { required: true, value: 'ID' },
    'px-per-mm': { required: true, value: 'N' },
    out: { required: true, value: 'M.png' },
  },
  files: ['FILE'],
  async run({ files, options }, say) {
    const pxPerMm = Number(options['px-per-mm'])
    if (!Number.isFinite(pxPerMm) || pxPerMm <= 0)
      throw new AppError(
        'bad-input',
        `--px-per-mm ${JSON.stringify(options['px-per-mm'])} is not a number above 0; give the pixels per mm, such as 10`,
      )
    if (!/\.png$/i.test(options.out))
      throw new AppError('bad-input', `--out ${JSON.stringify(options.out)} does not end in .png; the map is written as PNG: name it so`)
    const file = await readInspectionFile(files[0])
    const { rolloutOf } = await import('./rollout-run')
    return rolloutOf(file, { journalId: options.journal, pxPerMm, out: options.out }, say)
  },
}

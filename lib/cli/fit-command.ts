/** `throwmark fit FILE --photo ID`. */
import { AppError, badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import { cameraPlace } from '../photo/camera'
import type { StripOfFit } from '../photo/cylinder-fit'
import { explainFit } from '../photo/explain-fit'
import { failureText } from '../photo/fit-failure-text'
import { trustLimits } from '../photo/fit-quality'
import { handleName } from '../photo/handle-name'
import type { HandleRef } from '../photo/observation'
import { alignedFits } from './aligned-fits'
import { type Command, CommandFailed } from './command'
import { readInspectionFile } from './read-file'

export const fitCommand: Command = {
  name: 'fit',
  summary: 'one photo’s fit: camera, residuals for each handle, sigmas, what is known, warnings',
  help: `Prints the camera (rotation row-major and translation take the journal frame to the camera frame, mm),
each handle's residual in px and mm, one standard deviation of a mid-journal angle and of places on the map,
what is known of roll and slide, what each sigma is made of and which further handle or other photograph would shrink it most, and warnings. Where the journal's photographs
are laid beside each other (see assess) it is the fit that comes of that; a warning says what neighbours lent.
Exit 1 where the handles give no fit and neighbours cannot place the photo; the sentence says what to add.`,
  options: { photo: { required: true, value: 'ID' } },
  files: ['FILE'],
  async run({ files, options }, say) {
    const file = await readInspectionFile(files[0])
    const { inspection, remarks } = file
    const photo = inspection.photos.find((p) => p.id === options.photo)
    if (!photo) {
      const known = inspection.photos.map((p) => p.id).join(', ') || 'none'
      throw badInput([
        { path: jsonPath(['photos']), fault: `there is no photo ${JSON.stringify(options.photo)}`, remedy: `name one of: ${known}` },
      ])
    }
    const journal = inspection.journals.find((j) => j.id === photo.journalId)
    if (!journal) throw new AppError('bad-input', 'its journal is missing')
    for (const remark of remarks.filter((r) => r.startsWith(`photo ${photo.id}:`))) say(remark)
    const outcome = (await alignedFits(file, say, journal.id)).get(photo.id)
    if (!outcome) throw new Error('a photo of the file has no outcome')
    if (!outcome.ok) throw new CommandFailed(`photo ${photo.id}: ${failureText(outcome.reason)}`)
    const fit = outcome.value
    return {
      id: photo.id,
      journalId: photo.journalId,
      trusted: fit.trusted,
      rollKnown: fit.rollKnown,
      slideKnown: fit.slideKnown,
      rmsPx: fit.rmsPx,
      pickSigmaPx: fit.pickSigmaPx,
      chiSquare: fit.chiSquare,
      degreesOfFreedom: fit.degreesOfFreedom,
      focalPx: fit.camera.focalPx,
      k1: fit.camera.k1,
      camera: {
        widthPx: fit.camera.width,
        heightPx: fit.camera.height,
        focalPx: fit.camera.focalPx,
        k1: fit.camera.k1,
        rotation: fit.camera.rotation,
        translationMm: fit.camera.translation,
        placeMm: cameraPlace(fit.camera),
      },
      residuals: fit.residuals.map((r) => ({
        handle: handlePath(r.handle),
        name: handleName(r.handle),
        residualPx: r.residualPx,
        residualMm: r.residualMm,
        studentised: r.studentised,
        pickPx: [r.pick.u, r.pick.v],
        nearestPx: [r.nearest.u, r.nearest.v],
      })),
      sigma: fit.sigmas,
      limits: trustLimits,
      ...(fit.strip && { strip: stripPart(fit.strip) }),
      madeOf: explainFit(journal, fit),
      warnings: fit.warnings,
    }
  },
}

function stripPart({ markers, rims, outlines, ...place }: StripOfFit) {
  return {
    ...place,
    oilHoleRims: rims.map(({ holeId, u, v, sigmaPx, used }) => ({ id: holeId, centerPx: [u, v], sigmaPx, used })),
    outlinesPx: outlines.map((outline) => outline.map(({ u, v }) => [u, v])),
    markers: markers.map(({ id, corners, predicted }) => ({
      id,
      cornersPx: corners.map(({ u, v }) => [u, v]),
      residualsPx: corners.map(({ u, v }, i) => Math.hypot(u - predicted[i].u, v - predicted[i].v)),
    })),
  }
}

/** Where a handle stands within the photo, as a JSON path. */
function handlePath(handle: HandleRef): string {
  switch (handle.kind) {
    case 'side':
      return jsonPath(['handles', 'sides', handle.list, handle.index])
    case 'ring':
      return jsonPath(['handles', 'rings', handle.ring, 'points', handle.index])
    case 'oilHole':
      return jsonPath(['handles', 'oilHoles', handle.index])
    case 'clock':
      return jsonPath(['handles', 'clock', handle.index])
  }
}

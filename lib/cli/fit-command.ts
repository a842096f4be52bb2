/** `throwmark fit FILE --photo ID`. */
import { type FitOutcome, fitPhotos } from '../finding/assess'
import { AppError, badInput } from '../model/app-error'
import { jsonPath } from '../model/fault'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { cameraPlace } from '../photo/camera'
import { fitPhoto, type StripOfFit } from '../photo/cylinder-fit'
import { explainFit } from '../photo/explain-fit'
import { failureText } from '../photo/fit-failure-text'
import { trustLimits } from '../photo/fit-quality'
import { handleName } from '../photo/handle-name'
import type { HandleRef } from '../photo/observation'
import { type Command, CommandFailed } from './command'
import { foundStrips } from './found-strips'
import { type InspectionFile, readInspectionFile } from './read-file'

export const fitCommand: Command = {
  name: 'fit',
  summary: 'one photo’s fit: camera, residuals for each handle, sigmas, what is known, warnings',
  help: `Prints the camera (rotation row-major and translation take the journal frame to the camera frame, mm),
each handle's residual in px and mm, one standard deviation of a mid-journal angle and of places on the map,
what is known of roll and slide, what each sigma is made of and which further handle or other photograph would shrink it most, and warnings. Exit 1 where the handles give no fit; the sentence says what to add.`,
  options: { photo: { required: true, value: 'ID' } },
  files: ['FILE'],
  async run({ files, options }, say) {
    const file = await readInspectionFile(files[0])
    const { inspection, lensByPhoto, remarks } = file
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
    const outcome =
      photo.handles.strip === null ? fitPhoto(journal, photo, lensByPhoto[photo.id] ?? null) : await withStrip(file, journal, photo)
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

/** The fit of a photograph that shows the printed strip, which all photographs of its journal settle together. */
async function withStrip(file: InspectionFile, journal: Journal, photo: Photo): Promise<FitOutcome> {
  const own = { ...file.inspection, journals: [journal], photos: file.inspection.photos.filter((one) => one.journalId === journal.id) }
  const outcome = fitPhotos(own, file.lensByPhoto, await foundStrips(file, own)).get(photo.id)
  if (!outcome) throw new Error(`photo ${photo.id} has no outcome`)
  return outcome
}

function stripPart({ markers, ...place }: StripOfFit) {
  return {
    ...place,
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

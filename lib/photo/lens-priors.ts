/**
 * What is known of the lens before the handles speak: the focal length from the file, from EXIF, or from what phones
 * are like; k1; and fillet radii that carry an uncertainty. Each free one is an observation of its own.
 */
import type { Surface } from '../journal/surface'
import type { Photo } from '../model/photo'
import { cameraPlace, focalPxOf35 } from './camera'
import { type FitState, unknownCount, unknownIndex } from './fit-state'

/** From EXIF, null where it is silent: 35 mm equivalent (tag 0xA405) and the lens's own focal length, mm. */
export type LensData = { focal35Mm: number | null; focalMm: number | null }

export type Prior = {
  unknown: number
  /** Whitened residual and its derivative by the ten unknowns. */
  evaluate(state: FitState): { residual: number; row: Float64Array }
}

/** A phone's main camera where nothing else is known: 26 mm equivalent, 30 % on its logarithm (common practice, no source). */
const usualFocal35Mm = 26
const usualLogSigma = 0.3
/** EXIF's value after the close-focus correction. */
const exifLogSigma = 0.04
const k1Sigma = 0.05

export type LensPriors = { startFocalPx: number; focalFrom: 'file' | 'exif' | 'solved'; list: Prior[] }

export function lensPriors(photo: Photo, lens: LensData | null, surface: Surface): LensPriors {
  const list: Prior[] = []
  const exif35 = lens?.focal35Mm && lens.focal35Mm > 0 ? lens.focal35Mm : null
  const focalFrom = photo.focalPx !== null ? 'file' : exif35 !== null ? 'exif' : 'solved'
  const startFocalPx = photo.focalPx ?? focalPxOf35(exif35 ?? usualFocal35Mm, photo.width, photo.height)
  if (focalFrom === 'exif') list.push(closeFocusPrior(startFocalPx, lens?.focalMm ?? 0))
  if (focalFrom === 'solved') list.push(closeFocusPrior(startFocalPx, 0, usualLogSigma))
  if (photo.k1 === null) list.push(k1Prior())
  for (const end of ['front', 'rear'] as const) {
    const { radius, radiusSigma } = surface[end]
    if (radius > 0 && radiusSigma > 0) list.push(radiusPrior(end, radius, radiusSigma))
  }
  return { startFocalPx, focalFrom, list }
}

/** ln f about ln(f_infinity (1 + lens / distance)): a lens focused near is longer (thin lens). */
function closeFocusPrior(focalPx: number, lensMm: number, sigma = exifLogSigma): Prior {
  return {
    unknown: unknownIndex.logFocal,
    evaluate(state) {
      const row = new Float64Array(unknownCount)
      row[unknownIndex.logFocal] = 1 / sigma
      let expected = Math.log(focalPx)
      if (lensMm > 0) {
        const place = cameraPlace(state.camera)
        const fromAxis = Math.hypot(place[0], place[1])
        const distance = Math.max(lensMm, fromAxis - state.surface.radius)
        expected += Math.log1p(lensMm / distance)
        const slope = lensMm / (distance * (distance + lensMm)) / sigma
        // the camera's place in the journal frame moves against tau
        row[unknownIndex.offsetX] = (-slope * place[0]) / fromAxis
        row[unknownIndex.offsetY] = (-slope * place[1]) / fromAxis
      }
      return { residual: (Math.log(state.camera.focalPx) - expected) / sigma, row }
    },
  }
}

function k1Prior(): Prior {
  const row = new Float64Array(unknownCount)
  row[unknownIndex.k1] = 1 / k1Sigma
  return { unknown: unknownIndex.k1, evaluate: (state) => ({ residual: state.camera.k1 / k1Sigma, row }) }
}

function radiusPrior(end: 'front' | 'rear', radius: number, sigma: number): Prior {
  const unknown = end === 'front' ? unknownIndex.frontRadius : unknownIndex.rearRadius
  const row = new Float64Array(unknownCount)
  row[unknown] = 1 / sigma
  return { unknown, evaluate: (state) => ({ residual: (state.surface[end].radius - radius) / sigma, row }) }
}

/** What a person should know of a fit, as codes with a sentence each. */
import type { Warning } from '../model/findings'
import type { Photo } from '../model/photo'
import { type FitQuality, trustLimits } from './fit-quality'
import { handleName, ringName } from './handle-name'
import type { RingPlace } from '../model/photo'
import type { HandleRef } from './observation'

/** A handle this many of its own sigmas off is named (common practice, no source). */
export const outlierSigmas = 4

/** What the search for gross errors could not tell, and whole rings that it left out. */
type Doubts = {
  orElse: ReadonlyMap<HandleRef, HandleRef>
  rings: readonly { handle: HandleRef & { kind: 'ring' }; lieOn: RingPlace | null }[]
}

/** Of picks that are off but not left out, only the worst are named. */
const mostNamed = 3

type Judged = {
  rollKnown: boolean
  slideKnown: boolean
  senseKnown: boolean
  trusted: boolean
  rmsPx: number
  pickSigmaPx: number
  chiSquare: number
  residuals: readonly { handle: HandleRef; residualPx: number; residualMm: number; studentised: number; leftOut: boolean }[]
}

export function fitWarnings(fit: Judged, quality: FitQuality, photo: Photo, doubts?: Doubts): Warning[] {
  const warnings: Warning[] = []
  const worst = [...fit.residuals].sort((a, b) => b.studentised - a.studentised)
  const wholeRings = new Set(doubts?.rings.map(({ handle }) => handle.ring))
  const off = worst.filter((r) => r.leftOut || r.studentised > outlierSigmas)
  for (const { handle, lieOn } of doubts?.rings ?? []) {
    const name = ringName(handle.at)
    const own = fit.residuals.filter((r) => r.handle.kind === 'ring' && r.handle.ring === handle.ring)
    const mm = Math.max(...own.map((r) => r.residualMm))
    const better = lieOn === null ? '' : ` They lie on the ${ringName(lieOn)}.`
    warnings.push({
      code: 'ring-off',
      text: `Look again at the ${name}: its points lie up to ${mm.toFixed(2)} mm from where the other handles put it, and are left out.${better}`,
    })
  }
  const single = off.filter(({ handle }) => handle.kind !== 'ring' || !wholeRings.has(handle.ring))
  for (const r of single.filter((one, i) => one.leftOut || i < mostNamed)) {
    const other = doubts?.orElse.get(r.handle)
    const doubt = other ? ` Or the ${handleName(other)} is off: either alone would explain it.` : ''
    warnings.push({
      code: 'handle-off',
      text: `Look again at the ${handleName(r.handle)}: it lies ${r.residualPx.toFixed(1)} px (about ${r.residualMm.toFixed(2)} mm) from where the others put it${r.leftOut ? ' and is left out' : ''}.${doubt}`,
    })
  }
  if (!quality.residualsWithinRange) {
    const factor = Math.sqrt(fit.chiSquare / quality.chiSquareLimit)
    warnings.push({
      code: 'handles-disagree',
      text: `The handles disagree by ${fit.rmsPx.toFixed(2)} px; picks of ${fit.pickSigmaPx.toFixed(2)} px allow ${(fit.rmsPx / factor).toFixed(2)} px. Marks in this photograph stay unresolved until a handle is mended${worst[0] ? `; the ${handleName(worst[0].handle)} is furthest off` : ''}.`,
    })
  }
  if (quality.sigmas.angleDeg > trustLimits.angleSigmaDeg) {
    warnings.push({
      code: 'angle-unsure',
      text: `The handles leave an angle uncertain by ${quality.sigmas.angleDeg.toFixed(1)} degrees (one sigma); up to ${trustLimits.angleSigmaDeg} would do. Pick more points on both sides and on the rings.`,
    })
  }
  if (quality.sigmas.filletMm !== null && quality.sigmas.filletMm > trustLimits.filletSigmaMm) {
    warnings.push({
      code: 'fillet-unsure',
      text: `The handles leave the distance to the fillet uncertain by ${quality.sigmas.filletMm.toFixed(2)} mm (one sigma); up to ${trustLimits.filletSigmaMm} would do. Pick more points on a ring.`,
    })
  }
  if (!fit.rollKnown) {
    warnings.push({
      code: 'roll-unknown',
      text: 'Nothing in this photograph tells the angle about the shaft: pick an oil hole or a witness mark. Angles to the axis and fillet distances stand; distances to oil holes are not known.',
    })
  }
  if (!fit.slideKnown) {
    warnings.push({
      code: 'slide-unknown',
      text: 'Nothing in this photograph tells the place along the journal: pick a ring, an oil hole or a witness mark. Fillet distances are not known.',
    })
  }
  if (!fit.senseKnown) {
    warnings.push({
      code: 'sense-unknown',
      text: 'Nothing in this photograph tells the front of the journal from its rear: pick a ring, or a second hole or witness mark. Distances to the fillets may be swapped.',
    })
  }
  const outside = allPicks(photo).filter(([u, v]) => u < 0 || v < 0 || u > photo.width || v > photo.height).length
  if (outside > 0)
    warnings.push({
      code: 'handle-outside-photo',
      text: `${outside} handle ${outside === 1 ? 'point lies' : 'points lie'} outside the photograph: move ${outside === 1 ? 'it' : 'them'} onto the picture.`,
    })
  return warnings
}

function allPicks({ handles }: Photo): (readonly [number, number])[] {
  return [
    ...handles.sides.flat(),
    ...handles.rings.flatMap((ring) => ring.points),
    ...handles.oilHoles.map((hole) => hole.center),
    ...handles.clock.map((clock) => clock.point),
  ]
}

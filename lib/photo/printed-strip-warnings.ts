/** What a person should know of the printed strip, as codes with a sentence each. */
import type { Warning } from '../model/findings'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { stripDiameters } from './printed-strip-design'
import type { StripJoint } from './printed-strip-fit'

/** A scale this far from 1 is no print at 100 %: what one photograph leaves open is less in nearly all cases. */
const wrongScale = 0.012
/** Of a print that does not close: off by this much of its size where that is beyond what printers do, else by this gap where it is well measured. */
const openSeam = { scale: 0.005, gapMm: 1.5, sigmas: 4 }
/** Behind its beginning the end of a strip wrapped straight lies by less, mm (common practice, no source). */
const obliqueMm = 1

export function noStrip(why: 'no-picture' | 'not-seen' | 'too-few' | 'another-strip' | 'no-camera' | 'no-design'): Warning {
  switch (why) {
    case 'no-picture':
      return {
        code: 'strip-not-found',
        text: 'The printed strip has not been looked for in this picture: it is not there, or not read yet. Put its file beside the inspection, or pick handles.',
      }
    case 'not-seen':
      return {
        code: 'strip-not-found',
        text: 'No code of the printed strip was found in this picture. Photograph it nearer or sharper, without glare on the paper, or pick handles.',
      }
    case 'too-few':
      return {
        code: 'strip-not-found',
        text: 'Too few codes of the printed strip are seen to fix the view. Photograph it so that three or more show, or pick handles.',
      }
    case 'another-strip':
      return {
        code: 'strip-disagrees',
        text: 'The strip in this picture was printed for another diameter: its codes belong to another size. Check the diameter in the set-up, and which strip is on which journal.',
      }
    case 'no-camera':
      return {
        code: 'strip-disagrees',
        text: 'The codes in this picture do not fit one strip round this journal. Check its diameter, that the strip lies tight, and that its pieces meet.',
      }
    case 'no-design':
      return {
        code: 'strip-not-found',
        text: `No strip is made for this diameter; it serves ${stripDiameters.least} to ${stripDiameters.most} mm. Pick handles instead.`,
      }
  }
}

export function noReference(rollKnown: boolean, slideKnown: boolean): Warning {
  const what =
    !rollKnown && !slideKnown
      ? 'at which angle and how far from the front cheek'
      : rollKnown
        ? 'how far from the front cheek'
        : 'at which angle'
  return {
    code: 'strip-no-reference',
    text: `Nothing tells ${what} the strip lies. Pick an oil hole or a ring in any one of the photographs that show it, or measure and type it in the set-up.`,
  }
}

/** Is the print's size in doubt beyond what can be put right by reckoning with it? */
export function scaleUnsure({ openScale, solution, scaleHeld }: StripJoint): boolean {
  const off = Math.abs(solution.placement.scale - 1)
  return !scaleHeld && off > wrongScale && off > 3 * openScale.sigma
}

/** Warnings that every photograph of the journal carries. */
export function jointWarnings(journal: Journal, joint: StripJoint): Warning[] {
  const { seat, solution } = joint
  const { scale } = solution.placement
  const gapMm = Math.PI * (journal.diameter + seat.design.thickness) - scale * seat.design.length
  const warnings: Warning[] = []
  const percent = `${(100 * scale).toFixed(1)} %`
  if (scaleUnsure(joint)) {
    warnings.push({
      code: 'strip-scale',
      text: `The strip measures ${percent} of its right size, as if it left ${gapWords(gapMm)}: it was not printed at 100 %, or is for another diameter, or the journal's diameter is not as typed. Check the 100 mm line and print again; until then these photographs are not trusted.`,
    })
  } else if (leavesGap(joint)) {
    warnings.push({
      code: 'strip-scale',
      text: `The strip does not close: it leaves ${gapWords(gapMm)} (printed at ${percent}, or not wrapped tight). That is reckoned with; check the 100 mm line and the closing mark.`,
    })
  }
  if (Math.abs(solution.placement.skew) > obliqueMm) {
    warnings.push({
      code: 'strip-oblique',
      text: `The strip is wrapped obliquely: its end lies ${Math.abs(solution.placement.skew).toFixed(1)} mm ${solution.placement.skew > 0 ? 'behind' : 'before'} its beginning. That is reckoned with; see that the paper lies flat, and wrap it straight next time.`,
    })
  }
  return warnings
}

function leavesGap({ seat, openScale, scaleHeld }: StripJoint): boolean {
  const off = Math.abs(openScale.value - 1)
  if (!scaleHeld) return off > openSeam.scale
  return off * seat.design.length > openSeam.gapMm && off > openSeam.sigmas * openScale.sigma
}

function gapWords(gapMm: number): string {
  return gapMm >= 0 ? `a gap of ${gapMm.toFixed(1)} mm` : `an overlap of ${(-gapMm).toFixed(1)} mm`
}

/** Hand picks that do not go with the strip: of all photographs, since it takes its place on the journal from them. */
export function picksAgainst(photoIds: readonly string[], turnedFits: boolean): Warning {
  const where = `in ${photoIds.join(', ')}`
  return {
    code: 'strip-disagrees',
    text: turnedFits
      ? `The strip lies the other way round than the set-up says: the hand picks ${where} go with its other edge to the front. Look where it says FRONT, and change the set-up or the strip.`
      : `The hand picks ${where} contradict the strip, which takes its place on the journal from them. Look at the picks again, and whether the edge printed FRONT lies where the set-up says.`,
  }
}

/** Null where codes and strip agree. */
export function stripDisagrees(
  journal: Journal,
  { seat, solution, slideFrom }: StripJoint,
  { seen, kept, noise, mostNoise }: { seen: number; kept: number; noise: number; mostNoise: number },
): Warning | null {
  const { frontEdge, scale } = solution.placement
  const far = frontEdge + (seat.toFront === 'front' ? 1 : -1) * seat.design.height * scale
  const beyond = Math.max(-Math.min(frontEdge, far), Math.max(frontEdge, far) - journal.width)
  if (slideFrom === 'picks' && beyond > offJournalMm)
    return {
      code: 'strip-disagrees',
      text: `By the hand picks the strip would lie ${beyond.toFixed(1)} mm off the journal. Check which of its edges, the one printed FRONT or the other, lies to the front, and the picks.`,
    }
  if (noise > mostNoise || kept < keptShare * seen)
    return {
      code: 'strip-disagrees',
      text: `Only ${kept} of the ${seen} codes seen fit one strip round this journal. Check its diameter, that the strip lies tight, and that its pieces meet.`,
    }
  return null
}

const offJournalMm = 1
const keptShare = 0.7

/** What the rims of oil holes in the pictures say against hand picks and sizes: of the photographs in which that hole is picked. */
export function rimWarnings({ rimCheck: { against }, solution: { holeShifts } }: StripJoint, photo: Photo): Warning[] {
  const warnings: Warning[] = []
  if (against?.photoIds.includes(photo.id))
    warnings.push({
      code: 'hole-rim-elsewhere',
      text: `The rim of oil hole ${against.holeId} as the pictures show it lies ${against.offMm.toFixed(2)} mm or more from where its pick puts it. The pick is kept and the rim left out; look at the pick, and at the hole's typed size.`,
    })
  for (const [holeId, shift] of holeShifts)
    if (Math.abs(shift) > typedHoleOffMm && photo.handles.oilHoles.some(({ id }) => id === holeId))
      warnings.push({
        code: 'hole-typed-elsewhere',
        text: `By the rings oil hole ${holeId} lies ${Math.abs(shift).toFixed(2)} mm further to the ${shift > 0 ? 'rear' : 'front'} than typed. The strip keeps to the rings; measure again where the hole lies.`,
      })
  return warnings
}

/** A hole this far from its typed place along the axis was not measured well, mm. */
const typedHoleOffMm = 0.15

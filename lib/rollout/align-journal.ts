/**
 * The fits of a journal's photographs laid beside each other: the angle about the shaft carried from those that show an oil
 * hole or a witness mark to those that do not, wherever two photographs show the same surface, and close-ups placed on them.
 */
import { surfaceOf } from '../journal/surface'
import type { Journal } from '../model/journal'
import type { Photo } from '../model/photo'
import { done, failed, type Result } from '../model/result'
import { type AlignmentEntry, alignFits, layBeside } from '../photo/align-fits'
import { coarseTexture } from '../photo/close-up-search'
import type { Fit, FitFailure, NotPlaced } from '../photo/cylinder-fit'
import { notPlacedText } from '../photo/fit-failure-text'
import type { LensData } from '../photo/lens-priors'
import { searchColumns } from '../photo/glow-strip'
import { type CloseUp, type PlacedCloseUp, placeCloseUp, placedMap } from '../photo/place-close-up'
import { lendsItsAngle } from '../photo/settled-turns'
import { halfGrey, textureOf } from '../photo/texture'
import { alignmentStrip } from './alignment-strip'
import { bestKernel } from './best-kernel'
import { closeUpLevels } from './close-up-levels'
import { drawnTogether } from './far-neighbours'
import { glowStrip } from './glow-strip'
import type { Picture } from './picture'

export type FittedPhoto = { photo: Photo; lens: LensData | null; outcome: Result<Fit, FitFailure> }

/**
 * Photographs to lay beside each other: their handles agree and tell front from rear and the slide, be they too few to be trusted; and
 * those to be placed on them, whose own handles do not fix the view. A printed strip joins its photographs by itself. Both empty where
 * no photograph lacks anything, or none has its angle to lend.
 */
export function photosToAlign(photos: readonly FittedPhoto[]): { beside: FittedPhoto[]; closeUps: FittedPhoto[] } {
  const byHand = photos.filter(({ photo }) => photo.handles.strip === null)
  const beside = byHand.filter(({ outcome }) => outcome.ok && standsByItself(outcome.value))
  const lends = beside.filter(({ outcome }) => outcome.ok && lendsItsAngle(outcome.value)).length
  const closeUps = byHand.filter((one) => !beside.includes(one) && mayBePlaced(one))
  return lends > 0 && (lends < beside.length || closeUps.length > 0) ? { beside, closeUps } : { beside: [], closeUps: [] }
}

function standsByItself({ slideKnown, senseKnown, residualsWithinRange }: Fit): boolean {
  return slideKnown && senseKnown && residualsWithinRange
}

/** Handles that contradict each other are to be mended first; in a close-up they may only contradict the lens that was supposed. */
function mayBePlaced({ photo, outcome }: FittedPhoto): boolean {
  if (!sidesPicked(photo)) return true
  return outcome.ok ? outcome.value.residualsWithinRange : outcome.reason.code !== 'contradictory'
}

function sidesPicked({ handles }: Photo): boolean {
  return handles.sides.some(({ length }) => length > 0)
}

/**
 * What becomes of the photographs whose fit changes, by id. `pictureOf` is asked for one picture at a time, so that only
 * one lies in memory; null leaves that photograph out.
 */
export async function alignJournal(
  journal: Journal,
  photos: readonly FittedPhoto[],
  pictureOf: (photo: Photo) => Promise<Picture | null>,
  onProgress: (done: number, of: number) => void = () => {},
): Promise<Map<string, Result<Fit, FitFailure>>> {
  const { beside, closeUps } = photosToAlign(photos)
  const surface = surfaceOf(journal)
  const kernel = await bestKernel()
  const of = beside.length + closeUps.length
  const entries: AlignmentEntry[] = []
  for (const [i, { photo, lens, outcome }] of beside.entries()) {
    const picture = await pictureOf(photo)
    if (outcome.ok && picture) {
      const grey = alignmentStrip(surface, { picture, camera: outcome.value.camera, ignore: photo.ignore }, kernel)
      let coarse = grey
      while (coarse.pxPerMm > mostCoarsePxPerMm) coarse = halfGrey(coarse)
      entries.push({
        photo,
        lens,
        fit: outcome.value,
        strip: textureOf(grey),
        glow: glowStrip(surface, { picture, camera: outcome.value.camera, ignore: photo.ignore }, searchColumns),
        coarse: textureOf(coarse, coarseTexture),
      })
    }
    onProgress(i + 1, of)
  }
  const laid = await drawnTogether(layBeside(journal, entries), pictureOf)
  const outcomes = new Map<string, Result<Fit, FitFailure>>()
  const placed: PlacedCloseUp[] = []
  const loose = entries.filter(({ photo }) => laid.unmatched.includes(photo.id))
  const map = loose.length + closeUps.length > 0 && laid.placed.length > 0 ? placedMap(surface, laid.placed) : null
  const place = async (photo: Photo, lens: LensData | null, own: CloseUp['own']): Promise<NotPlaced | null> => {
    if (!map) return 'too-little-alike'
    const picture = await pictureOf(photo)
    if (!picture) return null
    const found = placeCloseUp(journal, map, { photo, lens, levels: closeUpLevels(picture, photo.width), own })
    if (found.ok) placed.push(found.value)
    return found.ok ? null : found.reason
  }
  for (const { photo, lens, fit, coarse } of loose) {
    const refused =
      (await place(photo, lens, { fit, coarse })) && (sidesPicked(photo) ? 'too-little-alike' : await place(photo, lens, null))
    if (refused && !fit.rollKnown) outcomes.set(photo.id, done({ ...fit, warnings: [...fit.warnings, matchesNowhere] }))
  }
  for (const [i, { photo, lens, outcome }] of closeUps.entries()) {
    const refused = await place(photo, lens, fixesTheAxis(outcome) ? { fit: outcome.value, coarse: null } : null)
    if (refused) outcomes.set(photo.id, notPlaced(outcome, refused))
    onProgress(beside.length + i + 1, of)
  }
  const all = alignFits(laid, placed)
  // one that its own handles or the lens contradict lies wrongly: it must not pull at the others either
  const doubtful = closeUps.filter(({ photo }) => all.get(photo.id)?.trusted === false)
  for (const { photo, outcome } of doubtful) outcomes.set(photo.id, notPlaced(outcome, 'too-little-alike'))
  const agreeing = placed.filter(({ photo }) => !doubtful.some((one) => one.photo.id === photo.id))
  for (const [id, fit] of doubtful.length > 0 ? alignFits(laid, agreeing) : all) outcomes.set(id, done(fit))
  return outcomes
}

/** But neither the place along it nor which end is the front, or not the one of them. */
function fixesTheAxis(outcome: Result<Fit, FitFailure>): outcome is { ok: true; value: Fit } {
  return outcome.ok && outcome.value.residualsWithinRange && !(outcome.value.slideKnown && outcome.value.senseKnown)
}

/** Finer than this the coarse texture need not be. */
const mostCoarsePxPerMm = 2.6

function notPlaced(own: Result<Fit, FitFailure>, why: NotPlaced): Result<Fit, FitFailure> {
  if (!own.ok) return failed({ code: 'not-placed', why, own: own.reason })
  return done({ ...own.value, warnings: [...own.value.warnings, { code: 'not-placed', text: notPlacedText[why] }] })
}

const matchesNowhere = {
  code: 'matches-nowhere',
  text: 'It shows nothing alike with photographs whose angle about the shaft is known: pick a witness mark in it, or photograph the journal again with each picture overlapping the last by half.',
}

/**
 * The turn about the shaft of each photograph of a journal, and what ties them: all pairs' strips are correlated, what they say is settled
 * together, and each pair that shares steel is then tied patch by patch. Where some are left over, what they would share with others far apart has a say as well.
 */
import { wrapped } from '../journal/wrapped-angle'
import type { Surface } from '../journal/surface'
import { type Camera, cameraPlace } from './camera'
import type { Fit } from './cylinder-fit'
import { farMatches, farTies } from './far-turn'
import { type GlowStrip, smoothedStrip } from './glow-strip'
import { type StripPair, stripMatches, tiedPairs } from './strip-pairs'
import type { TextureStrip } from './texture'
import { clusteredTurns } from './turn-clusters'
import { sharedTurns } from './turn-graph'

/** `known`: its own angles are the journal's; `facing`: angle about the shaft, in its own frame, at which its camera stands, radians. */
export type TurnView = { known: boolean; facing: number; strip: TextureStrip; glow: GlowStrip | null }

/** Pairs that agree differ by up to this because of their fits, mm; a second place nearer than that is the first. */
const roomMm = 0.4
const apartMm = 2
/** By how much (logarithm of likelihoods) a place must stand above all others together. */
const leastMargin = 14
/** The same once photographs far apart have had their say, which is calibrated by what they would say of other metal. */
const leastFarMargin = 11

/** Turns to be added to the photographs' own angles, radians; null where nothing ties one to those that are known. */
export function settledTurns(surface: Surface, strips: readonly TurnView[]): { turns: (number | null)[]; pairs: StripPair[] } {
  const known = strips.map((view) => view.known)
  const matches = stripMatches(strips)
  // strips are compared at half their size
  const width = strips.length > 0 ? strips[0].strip.width >> 1 : 0
  const perMm = width / (2 * Math.PI * surface.radius)
  const search = { width, room: Math.round(roomMm * perMm), apart: Math.round(apartMm * perMm), leastMargin }
  const turnOf = (column: number | null) => (column === null ? null : (column / width) * 2 * Math.PI)
  let columns = clusteredTurns(known, matches, search)
  let pairs = tiedPairs(surface, strips, matches, columns)
  let held = tiedTo(known, pairs)
  const glows = strips.map((view) => (held.includes(false) ? view.glow && smoothedStrip(view.glow, smoothSigma) : null))
  const more = farMatches(surface, glows, width, (first, second) => !held[first] || !held[second])
  if (more.length > 0) {
    columns = clusteredTurns(known, [...matches, ...more], { ...search, leastMargin: leastFarMargin })
    pairs = tiedPairs(surface, strips, matches, columns)
    for (const { first, second, evidence } of more) {
      const [a, b] = [turnOf(columns[first]), turnOf(columns[second])]
      const [from, to] = [glows[first], glows[second]]
      if (a === null || b === null || !from || !to) continue
      const { turn, ties } = farTies(surface, from, to, evidence, wrapped(b - a))
      if (ties.length > 0) pairs.push({ first, second, strength: farStrength, turn, ties })
    }
    held = tiedTo(known, pairs)
  }
  const turns = columns.map((column, i) => (held[i] ? turnOf(column) : null))
  return { turns: sharedTurns(known, turns, pairs), pairs: pairs.filter(({ first }) => held[first]) }
}

/** Which photographs hang on known ones by pairs with ties. */
function tiedTo(known: readonly boolean[], pairs: readonly StripPair[]): boolean[] {
  const held = [...known]
  for (let grown = true; grown; ) {
    grown = false
    for (const { first, second } of pairs) {
      if (held[first] === held[second]) continue
      held[first] = held[second] = true
      grown = true
    }
  }
  return held
}

/** Beside correlations of strips. */
const farStrength = 0.2
/** Columns and rows. */
const smoothSigma = 1

/** Whether others may take their angle about the shaft from this photograph. */
export function lendsItsAngle({ trusted, rollKnown }: Fit): boolean {
  return trusted && rollKnown
}

/** Where about the shaft the camera stands, radians. */
export function facingOf(camera: Camera): number {
  const [x, y] = cameraPlace(camera)
  return Math.atan2(y, x)
}

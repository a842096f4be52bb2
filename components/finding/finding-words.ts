/** What findings are called on the screen, short and in the trade's words. */
import type { Coverage, Group, MarkFinding, Pattern } from '@/lib/model/findings'

export const patternWords: Record<Pattern, string> = {
  'radius-crack': 'Radius crack',
  'oil-hole-crack': 'Oil-hole crack',
  'diagonal-crack': 'Diagonal crack',
  unresolved: 'Cannot be judged yet',
  'near-oil-hole': 'Near the oil hole',
  'axial-check': 'Line along the shaft',
  'score-ring': 'Ring around the journal',
  'plating-craze': 'Plating craze, perhaps',
  'line-around': 'Line around the journal',
  patch: 'Patch',
  'pit-or-stain': 'Pit or stain',
}

/** What a pattern is, and what it may be instead: one or two sentences. */
export const patternMeanings: Record<Pattern, string> = {
  'radius-crack': 'It lies where bending starts cracks: in the fillet, or so near that it counts as the radius.',
  'oil-hole-crack': 'It lies where torsion starts cracks: at the oil hole, or running towards it.',
  'diagonal-crack': 'It runs as twisting makes cracks run, away from fillets and oil hole.',
  unresolved: 'A number that the rules need is not known well enough. It is held until it is.',
  'near-oil-hole': 'It lies within the band around the oil hole without running diagonally or touching it.',
  'axial-check': 'A grinding check, a heat check or a seam may run along the shaft like this.',
  'score-ring': 'It goes nearly all the way around, as a score does. It may still be a crack.',
  'plating-craze':
    'A line around the journal, away from both fillets and from the oil hole. Craze in hard plating is said to look like this (workshop lore, no source). So may a crack across the steel: the geometry cannot tell.',
  'line-around':
    'A line around the journal, away from both fillets and from the oil hole: craze, a score, or a crack across the steel. The geometry cannot tell.',
  patch: 'A patch away from both fillets and from the oil hole.',
  'pit-or-stain': 'A person named it. It is kept for comparison.',
}

/** "Radius crack, towards the oil hole". */
export function findingTitle(mark: MarkFinding): string {
  const aimed = mark.reasons.some((reason) => reason.code === 'aims-at-oil-hole')
  return `${patternWords[mark.pattern]}${aimed ? ', towards the oil hole' : ''}`
}

/** What it could be as well where an interval crosses a limit. */
export function couldBeWords(mark: MarkFinding): string | null {
  if (!mark.borderline || mark.couldBe.length === 0) return null
  return `Near a limit: it could be ${mark.couldBe.map((pattern) => patternWords[pattern].toLowerCase()).join(' or ')} as well.`
}

export const groupWords: Record<Group['kind'], (letters: string) => string> = {
  chain: (letters) => `${letters} continue each other and are measured together too.`,
  parallel: (letters) => `${letters} run side by side.`,
  crossed: (letters) => `${letters} cross, one of each hand, as twisting to and fro makes them.`,
  network: (letters) => `${letters} form a network.`,
}

/** "64" of "64 % seen": whole percents of the cylinder, never rounded up. */
export function seenShare(coverage: Coverage): number {
  return Math.floor(coverage.cylinder * 100)
}

/** What was not photographed well, part by part. */
export function coverageWords(coverage: Coverage): string {
  const parts: [string, number | null][] = [
    ['the cylinder', coverage.cylinder],
    ['the front fillet', coverage.frontFillet],
    ['the rear fillet', coverage.rearFillet],
    ['the oil hole’s rim', coverage.holeRims],
  ]
  return parts.flatMap(([name, share]) => (share === null ? [] : [`${Math.floor(share * 100)} % of ${name}`])).join(', ')
}

export const nothingRecorded = 'That does not mean sound.'
export const noCrackTest = 'Drawn by a person. This is no crack test.'
export const treatAsCracked = 'Do not run it, and do not scrap it on this alone.'

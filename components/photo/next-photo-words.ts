/** What to photograph next, in the trade's words: one sentence, and what stands behind it. The clock is seen from the front, the witness line at 12. */
import { nothingRecorded } from '@/components/finding/finding-words'
import type { Journal } from '@/lib/model/journal'
import { wellPhotographed } from '@/lib/photo/coverage'
import type { NextPhoto } from '@/lib/photo/next-photo'
import type { PartGain } from '@/lib/photo/standpoint-gain'

type Take = Extract<NextPhoto, { kind: 'take' }>

/** @param numberOf the number that a photograph bears on the screen, by its name */
export function nextPhotoSentence(next: NextPhoto, journal: Journal, numberOf: (photoId: string) => number): string {
  switch (next.kind) {
    case 'take':
      return takeSentence(next, journal)
    case 'angle-first': {
      const which = photographs(next.photoIds.map(numberOf))
      return next.hasHole
        ? `Pick the oil hole or a witness mark in ${which}, or take the next picture with the oil hole in view: nothing tells yet how the journal was turned.`
        : `Pick a witness mark in ${which}, or scribe one and take the next picture with it in view: nothing tells yet how the journal was turned.`
    }
    case 'nothing-more':
      if (next.tooCoarse)
        return `Pictures of this size show less than ${wellPhotographed.pxPerMm} px per mm from as near as a camera focuses: take them with more pixels, or with a longer lens.`
      return `One more picture would gain nothing: from nowhere around the journal does it add a hundredth of the surface. What a cheek in front hides counts as seen until it is left out of the photograph. ${nothingRecorded}`
  }
}

/** What the picture would add, and what tells its angle. */
export function nextPhotoReason({ gains, mostlyInner, angleFrom }: Take, journal: Journal, numberOf: (photoId: string) => number): string {
  const worthNaming = gains.filter(({ share }) => share >= 0.01)
  const added = (worthNaming.length > 0 ? worthNaming : gains.slice(0, 1)).map((gain) => gainWords(gain, journal)).join(', ')
  const half = mostlyInner ? ', most of it on the inner half, where bending starts cracks' : ''
  return `It adds about ${added}${half}. ${angleWords(angleFrom, numberOf)}`
}

/** Photographs that show nothing yet as far as the program can tell. */
export function uncountedWords(numbers: readonly number[]): string | null {
  if (numbers.length === 0) return null
  return numbers.length === 1
    ? `Photograph ${numbers[0]} does not count before its fit is good.`
    : `${capital(photographs(numbers))} do not count before their fits are good.`
}

/** "6 o’clock": the nearest hour. */
export function clockWord(deg: number): string {
  const hour = Math.round((((deg % 360) + 360) % 360) / 30) % 12
  return `${hour === 0 ? 12 : hour} o’clock`
}

function takeSentence({ standpoint, turnDeg, angleFrom }: Take, journal: Journal): string {
  const from = `from ${clockWord(standpoint.facingDeg)} (${Math.round(standpoint.facingDeg)}°)`
  const how = [
    leanWords(standpoint.leanDeg, journal),
    standpoint.nearness === 'whole' ? 'the whole journal filling the picture' : 'so near that its width fills the picture',
    ...(angleFrom.by === 'hole' ? ['the oil hole in view'] : angleFrom.by === 'nothing' ? ['a witness mark in view'] : []),
  ].join(', ')
  if (turnDeg === null) return `Take a picture ${from}, ${how}.`
  return `${turnWords(turnDeg)} and take the next picture ${from}, ${how}.`
}

/** Words for a turn of the crank, clockwise seen from the front; the camera stays where it was. */
export function turnWords(turnDeg: number): string {
  const amount = Math.abs(turnDeg)
  if (amount < 8) return 'Leave the crank as it is'
  const hand = turnDeg > 0 ? 'clockwise' : 'anticlockwise'
  const named = turnNames.find(({ deg }) => Math.abs(deg - amount) <= 7)
  if (named?.deg === 180) return 'Turn the crank half a turn'
  return `Turn the crank ${named ? named.word : `about ${5 * Math.round(amount / 5)}°`} ${hand}`
}

const turnNames = [
  { deg: 45, word: 'an eighth of a turn' },
  { deg: 90, word: 'a quarter turn' },
  { deg: 135, word: 'three eighths of a turn' },
  { deg: 180, word: 'half a turn' },
]

function leanWords(leanDeg: number, journal: Journal): string {
  if (Math.abs(leanDeg) < 4) return 'square on'
  const [towards, into] = leanDeg > 0 ? (['rear', 'front'] as const) : (['front', 'rear'] as const)
  return `leaning ${Math.abs(leanDeg) >= 18 ? 'well' : 'a little'} to the ${towards} to look into the ${endWord(journal, into)}`
}

function gainWords({ part, share }: PartGain, journal: Journal): string {
  const name = part === 'cylinder' ? part : endWord(journal, part === 'front-fillet' ? 'front' : 'rear')
  return `${Math.max(1, Math.round(share * 100))} % of the ${name}`
}

function endWord(journal: Journal, end: 'front' | 'rear'): string {
  const words = { tangent: 'fillet', undercut: 'undercut', step: 'edge' }
  return `${end} ${words[journal.fillets[end].form]}`
}

function angleWords(angleFrom: Take['angleFrom'], numberOf: (photoId: string) => number): string {
  switch (angleFrom.by) {
    case 'hole':
      return 'The oil hole in view tells its angle.'
    case 'neighbour':
      return `It overlaps photograph ${numberOf(angleFrom.photoId)}, which lends it its angle.`
    case 'nothing':
      return 'It overlaps no photograph: the witness mark tells its angle.'
  }
}

function photographs(numbers: readonly number[]): string {
  if (numbers.length === 1) return `photograph ${numbers[0]}`
  return `photographs ${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`
}

function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1)
}

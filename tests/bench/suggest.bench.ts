/**
 * Suggested marks on fresh rendered sets, beside the plain ridge filter at its own best cut, by length:
 * `npx tsx tests/bench/suggest.bench.ts white|ultraviolet [first seed, 30001] [sets, 3] [square]`. About a minute and a half a set;
 * `square`: cameras nearly square to the shaft.
 */
import { scoreOf } from '../../lib/trace/candidate-score'
import { ultravioletTrees } from '../../lib/trace/score-ultraviolet'
import { whiteTrees } from '../../lib/trace/score-white'
import { shopSet } from '../fixtures/render/shop-set'
import { type FoundLine, type LengthFigures, lengthFigures, type TruthLine } from './line-truth'
import { plainRidges } from './plain-ridges'
import { setCandidates } from './shop-candidates'

async function judge(lighting: 'white' | 'ultraviolet', first: number, sets: number, square: boolean): Promise<void> {
  const ours: LengthFigures[] = []
  const plain: LengthFigures[] = []
  for (let seed = first; seed < first + sets; seed++) {
    const white = lighting === 'white'
    const set = shopSet(seed, { closeUps: 0, photos: white ? 9 : 0, ultraviolet: white ? 0 : 3, square })
    const { truth, found, features, isListed, girth, strips, grid } = await setCandidates(set, lighting)
    const trees = white ? whiteTrees : ultravioletTrees
    const kept = found.flatMap((line, i) => {
      const score = scoreOf(trees, features[i])
      return isListed(i, score) ? [{ ...line, score }] : []
    })
    ours.push(lengthFigures(truth, kept, girth))
    plain.push(atBestCut(truth, plainRidges(grid, girth / (2 * Math.PI), strips), girth))
    console.log(`seed ${seed}  ours: ${words(ours[ours.length - 1])}\n            plain: ${words(plain[plain.length - 1])}`)
  }
  const mean = (list: LengthFigures[], of: (figures: LengthFigures) => number) => list.reduce((sum, one) => sum + of(one), 0) / list.length
  for (const [name, list] of [
    ['ours', ours],
    ['plain', plain],
  ] as const) {
    console.log(
      `${name}: mean F1 ${mean(list, ({ f1 }) => f1).toFixed(3)}, picks saved ${(100 * mean(list, saved)).toFixed(0)} %, ${classes(list)}`,
    )
  }
  console.log(`ratio of F1 to the plain method: ${(mean(ours, ({ f1 }) => f1) / mean(plain, ({ f1 }) => f1)).toFixed(2)}`)
}

/** The cut by score at which F1 is greatest: a favour to the plain method. */
function atBestCut(truth: readonly TruthLine[], found: readonly FoundLine[], girth: number): LengthFigures {
  let best: LengthFigures | null = null
  for (const share of [0.02, 0.05, 0.1, 0.2, 0.35, 0.6, 1]) {
    const figures = lengthFigures(truth, found.slice(0, Math.ceil(share * found.length)), girth)
    if (!best || figures.f1 > best.f1) best = figures
  }
  return best as LengthFigures
}

function saved({ byHand, withCandidates }: LengthFigures): number {
  return 1 - withCandidates / byHand
}

function classes(list: readonly LengthFigures[]): string {
  return ['strong', 'medium', 'faint']
    .map((cls) => {
      const found = list.reduce((sum, { byClass }) => sum + (byClass[cls]?.found ?? 0), 0)
      const length = list.reduce((sum, { byClass }) => sum + (byClass[cls]?.length ?? 0), 0)
      return `${cls} ${length > 0 ? `${((100 * found) / length).toFixed(0)} % of ${length.toFixed(0)} mm` : 'none'}`
    })
    .join(', ')
}

function words(figures: LengthFigures): string {
  const { f1, recall, precision, falseLength } = figures
  return `F1 ${f1.toFixed(3)} (recall ${recall.toFixed(2)}, precision ${precision.toFixed(2)}), picks saved ${(100 * saved(figures)).toFixed(0)} %, ${classes([figures])}, false ${falseLength.fibre.toFixed(0)} mm of fibre, ${falseLength.other.toFixed(0)} mm of other`
}

const lighting = process.argv[2]
if (lighting !== 'white' && lighting !== 'ultraviolet') throw new Error('name the light: white or ultraviolet')
void judge(lighting, Number(process.argv[3] ?? 30001), Number(process.argv[4] ?? 3), process.argv[5] === 'square')

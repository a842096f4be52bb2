/**
 * The trees that judge suggested marks, fitted anew, in steps of a few minutes:
 *
 * `npx tsx tests/bench/suggest-refit.ts measure white|ultraviolet FOLDER [first seed, 301] [sets, 12] [square|leaning] [photographs, 9]` renders sets and keeps their candidates
 * in the folder, about a minute a set; sets that are there already are passed over. `square`: cameras nearly square to the shaft (the set is
 * `SEED-square` from here on). Fewer than nine photographs in white light come without close-ups (`SEED-square-of-3`).
 *
 * `… try white|ultraviolet FOLDER SET …` fits on the folder's sets but these, and judges these with the new trees and with those in lib/trace.
 *
 * `… fold white|ultraviolet FOLDER 4` judges all of the folder's sets below seed 1000, each by trees fitted to the sets of the other folds.
 *
 * `… fit white|ultraviolet FOLDER` fits on all of the folder's sets below seed 1000 (nothing is judged on these) and writes lib/trace/score-….ts.
 *
 * A candidate counts as right by the share of its length that lies on a drawn crack. One that lies on a score is wrong under ultraviolet, for half its
 * length (a person has to reject it), and left out in white light.
 */
import { existsSync } from 'node:fs'
import { mkdir, readdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { scoreOf, type Trees } from '../../lib/trace/candidate-score'
import { ultravioletTrees } from '../../lib/trace/score-ultraviolet'
import { whiteTrees } from '../../lib/trace/score-white'
import { shopSet } from '../fixtures/render/shop-set'
import { boostedTrees, type Sample } from './boosted-trees'
import { type FoundLine, lengthFigures, sharesOf, type TruthLine } from './line-truth'
import { setCandidates } from './shop-candidates'

type Light = 'white' | 'ultraviolet'
type Measured = { girth: number; truth: TruthLine[]; found: FoundLine[]; features: number[][] }

const treeOptions: Record<Light, { trees: number; rate: number; leastWeight: number; ridge: number }> = {
  white: { trees: 80, rate: 0.12, leastWeight: 6, ridge: 6 },
  ultraviolet: { trees: 80, rate: 0.12, leastWeight: 3, ridge: 3 },
}
/** A mm on a score counts as so many mm of a wrong line; a line as so many mm at least, and at most. */
const weights: Record<Light, { score: number; least: number; most: number }> = {
  white: { score: 0, least: 0, most: 6 },
  ultraviolet: { score: 0.5, least: 0.7, most: 6 },
}
const judgingSeeds = 1000
const cuts = [0.3, 0.4, 0.5, 0.6, 0.7]

async function measure(light: Light, folder: string, first: number, sets: number, square: boolean, around: number): Promise<void> {
  await mkdir(folder, { recursive: true })
  for (let seed = first; seed < first + sets; seed++) {
    const few = light === 'white' && around < 9
    const file = join(folder, `${light}-${seed}${square ? '-square' : ''}${few ? `-of-${around}` : ''}.json`)
    if (existsSync(file)) continue
    const photos =
      light === 'white' ? { photos: around, closeUps: few ? 0 : 3, ultraviolet: 0 } : { photos: 0, closeUps: 0, ultraviolet: 3 }
    const { girth, truth, found, features } = await setCandidates(shopSet(seed, { ...photos, square }), light)
    const short = features.map((row) => Array.from(row, (value) => Number(value.toPrecision(6))))
    await writeFile(file, JSON.stringify({ girth, truth, found, features: short } satisfies Measured))
    console.log(`seed ${seed}: ${found.length} candidates`)
  }
}

/** By name: the seed, what its cameras are, and how many photographs it has where they are few. */
async function setsOf(light: Light, folder: string): Promise<Map<string, Measured>> {
  const sets = new Map<string, Measured>()
  for (const file of (await readdir(folder)).sort()) {
    const [, name] = new RegExp(`^${light}-(\\d+(?:-square)?(?:-of-\\d+)?)\\.json$`).exec(file) ?? []
    if (name) sets.set(name, JSON.parse(await readFile(join(folder, file), 'utf8')) as Measured)
  }
  return sets
}

function isForFitting(name: string): boolean {
  return Number.parseInt(name, 10) < judgingSeeds
}

function fitted(light: Light, sets: readonly Measured[]): Trees {
  const samples = sets.flatMap(({ girth, truth, found, features }) =>
    sharesOf(truth, found, girth).flatMap((share, i): Sample[] => {
      const { score, least, most } = weights[light]
      const counted = share.length - (1 - score) * share.neutral
      if (counted < 0.3 * share.length) return []
      return [{ features: features[i], target: share.right / counted, weight: Math.min(most, Math.max(least, counted)) }]
    }),
  )
  console.log(`${samples.length} candidates of ${sets.length} sets`)
  return boostedTrees(samples, treeOptions[light])
}

function judge(name: string, treesOf: (set: Measured) => Trees, sets: readonly Measured[]): void {
  for (const cut of cuts) {
    const figures = sets.map((set) => {
      const { girth, truth, found, features } = set
      const scored = found.map((line, i) => ({ ...line, score: scoreOf(treesOf(set), Float64Array.from(features[i])) }))
      return lengthFigures(
        truth,
        scored.filter(({ score }) => score >= cut),
        girth,
      )
    })
    const mean = (of: (one: (typeof figures)[number]) => number) => figures.reduce((sum, one) => sum + of(one), 0) / figures.length
    const classes = ['strong', 'medium', 'faint'].map((cls) => {
      const [found, length] = figures.reduce(
        ([f, l], { byClass }) => [f + (byClass[cls]?.found ?? 0), l + (byClass[cls]?.length ?? 0)],
        [0, 0],
      )
      return `${cls} ${((100 * found) / Math.max(1e-9, length)).toFixed(0)} %`
    })
    const saved = mean(({ byHand, withCandidates }) => 1 - withCandidates / byHand)
    const wrong = `fibre ${mean(({ falseLength }) => falseLength.fibre).toFixed(0)} mm, other ${mean(({ falseLength }) => falseLength.other).toFixed(0)} mm a set`
    console.log(
      `${name} from ${cut}: F1 ${mean(({ f1 }) => f1).toFixed(3)}, ${classes.join(', ')}, picks saved ${(100 * saved).toFixed(0)} %, wrong: ${wrong}`,
    )
  }
}

/** Each set by trees that have not seen it. */
function judgeByFolds(light: Light, sets: readonly Measured[], folds: number): void {
  const trees = Array.from({ length: folds }, (_, k) =>
    fitted(
      light,
      sets.filter((_, i) => i % folds !== k),
    ),
  )
  judge('each by the others', (set) => trees[sets.indexOf(set) % folds], sets)
}

async function write(light: Light, trees: Trees, names: readonly string[]): Promise<void> {
  const text = `/**
 * Trees that judge candidates under ${light === 'white' ? 'white' : 'ultraviolet'} light, fitted to the rendered sets
${inLines(names)};
 * written by \`npx tsx tests/bench/suggest-refit.ts fit ${light} FOLDER\`, not by hand.
 */
import type { Trees } from './candidate-score'

export const ${light}Trees: Trees = {
  base: ${trees.base},
  rows: [
${trees.rows.map((row) => `    [${row.join(', ')}],`).join('\n')}
  ],
}
`
  await writeFile(fileURLToPath(new URL(`../../lib/trace/score-${light}.ts`, import.meta.url)), text)
}

function inLines(names: readonly string[]): string {
  const lines: string[] = []
  for (let i = 0; i < names.length; i += 10) lines.push(` * ${names.slice(i, i + 10).join(', ')}`)
  return lines.join(',\n')
}

async function run([step, light, folder, ...rest]: string[]): Promise<void> {
  const numbers = rest.map(Number)
  if ((light !== 'white' && light !== 'ultraviolet') || !folder) throw new Error('say measure, try or fit, the light and the folder')
  if (step === 'measure') return measure(light, folder, numbers[0] ?? 301, numbers[1] ?? 12, rest[2] === 'square', numbers[3] ?? 9)
  const sets = await setsOf(light, folder)
  const own = [...sets].filter(([name]) => isForFitting(name))
  if (step === 'try') {
    const judged = rest.flatMap((name) => sets.get(name) ?? [])
    const trees = fitted(
      light,
      own.flatMap(([name, set]) => (rest.includes(name) ? [] : [set])),
    )
    judge('as in lib/trace', () => (light === 'white' ? whiteTrees : ultravioletTrees), judged)
    judge('fitted anew', () => trees, judged)
  } else if (step === 'fold') {
    judgeByFolds(
      light,
      own.map(([, set]) => set),
      numbers[0] ?? 4,
    )
  } else if (step === 'fit') {
    await write(
      light,
      fitted(
        light,
        own.map(([, set]) => set),
      ),
      own.map(([name]) => name),
    )
  } else throw new Error(`say measure, try, fold or fit, not ${step}`)
}

void run(process.argv.slice(2))

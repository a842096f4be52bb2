/**
 * Fits the trees that judge suggested marks anew and writes them to lib/trace: `npx tsx tests/bench/suggest-refit.ts white|ultraviolet [sets]`.
 * Sets are rendered from seeds 101, 102, … (below 1000: nothing is judged on them); a candidate counts as right by the share of its length that
 * lies on a drawn crack, and one that lies on a score is left out. About a minute a set.
 */
import { writeFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { shopSet } from '../fixtures/render/shop-set'
import { boostedTrees, type Sample } from './boosted-trees'
import { sharesOf } from './line-truth'
import { setCandidates } from './shop-candidates'

const treeOptions = { trees: 90, rate: 0.12, leastWeight: 3, ridge: 3 }

function samplesOf(features: readonly ArrayLike<number>[], shares: ReturnType<typeof sharesOf>): Sample[] {
  return shares.flatMap((share, i) => {
    const real = share.length - share.neutral
    return real < 0.3 * share.length ? [] : [{ features: features[i], target: share.right / real, weight: Math.min(6, real) }]
  })
}

async function refit(lighting: 'white' | 'ultraviolet', sets: number): Promise<void> {
  const samples: Sample[] = []
  for (let seed = 101; seed < 101 + sets; seed++) {
    const set = shopSet(seed, { closeUps: 0, photos: lighting === 'white' ? 9 : 0, ultraviolet: lighting === 'white' ? 0 : 6 })
    const { features, truth, found, girth } = await setCandidates(set, lighting)
    samples.push(...samplesOf(features, sharesOf(truth, found, girth)))
    console.log(`seed ${seed}: ${found.length} candidates, ${samples.length} samples so far`)
  }
  const trees = boostedTrees(samples, treeOptions)
  const text = `/**
 * Trees that judge candidates under ${lighting === 'white' ? 'white' : 'ultraviolet'} light, fitted to rendered sets of seeds below 1000; written by
 * \`npx tsx tests/bench/suggest-refit.ts ${lighting} ${sets}\`, not by hand.
 */
import type { Trees } from './candidate-score'

export const ${lighting}Trees: Trees = {
  base: ${trees.base},
  rows: [
${trees.rows.map((row) => `    [${row.join(', ')}],`).join('\n')}
  ],
}
`
  await writeFile(fileURLToPath(new URL(`../../lib/trace/score-${lighting}.ts`, import.meta.url)), text)
}

const lighting = process.argv[2]
if (lighting !== 'white' && lighting !== 'ultraviolet') throw new Error('name the light: white or ultraviolet')
void refit(lighting, Number(process.argv[3] ?? 20))

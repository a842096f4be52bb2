/**
 * How soon a journal is seen whole by following the advice, beside even turns: `npx tsx tests/bench/next-photo.bench.ts [cases] [first seed]`.
 * Random pins, an inexact hand, webs that stand above the fillets' rims; what was seen is told by casting rays at the metal.
 */
import { evenTurns, followAdvice, type TrueShares, type Turns } from '../fixtures/simulated/advised-turns'

const cases = Number(process.argv[2] ?? 40)
const firstSeed = Number(process.argv[3] ?? 31_000)
const goal = 0.95
const most = 24

const seeds = Array.from({ length: cases }, (_, i) => firstSeed + 10 * i)
const whole = ({ cylinder, fillets }: TrueShares) => cylinder >= goal && fillets >= goal

/** Pictures until cylinder and fillets are seen to the goal; `most` + 1 where they never are. */
function advised(turns: Turns): number {
  const at = turns.shares.findIndex(whole)
  return at < 0 ? most + 1 : at + 1
}

/** The fewest even turns that reach the goal. */
function even(seed: number, webRise: number, leanDeg: (picture: number) => number): number {
  for (let count = 3; count <= most; count++) {
    const last = evenTurns(seed, webRise, count, leanDeg).shares.at(-1)
    if (last && whole(last)) return count
  }
  return most + 1
}

const median = (values: number[]) => [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN
const mean = (values: number[]) => values.reduce((sum, value) => sum + value, 0) / values.length
const never = (values: number[]) => values.filter((value) => value > most).length

for (const { webRise, outlined } of [
  { webRise: 0.5, outlined: false },
  { webRise: 6, outlined: false },
  { webRise: 6, outlined: true },
]) {
  const followed = seeds.map((seed) => followAdvice(seed, webRise, most, outlined))
  const byAdvice = followed.map(advised)
  const straight = seeds.map((seed) => even(seed, webRise, () => 0))
  const leaning = seeds.map((seed) => even(seed, webRise, (picture) => (picture % 2 === 0 ? 24 : -24)))
  console.log(
    `webs ${webRise} mm above the rims${outlined ? ', left out by their outline' : ''}, ${cases} pins, pictures until ${100 * goal} % of cylinder and of fillets are seen:`,
  )
  const line = (name: string, counts: number[]) =>
    console.log(`  ${name}: median ${median(counts)}, mean ${mean(counts).toFixed(1)}, not within ${most}: ${never(counts)}`)
  line('by the advice', byAdvice)
  line('even turns, square on', straight)
  line('even turns, leaning to either side in turn', leaning)
  console.log(`  ratio to even turns leaning: ${(mean(byAdvice) / mean(leaning)).toFixed(2)}`)
  for (const count of [4, 6, 8]) {
    const sixth = followed.map(({ shares }) => shares[Math.min(count, shares.length) - 1])
    const evenly = seeds.map((seed) => evenTurns(seed, webRise, count, () => 0).shares[count - 1])
    const words = (list: (TrueShares | undefined)[]) =>
      (['cylinder', 'fillets', 'innerFillets'] as const)
        .map((part) => `${part} ${mean(list.map((one) => one?.[part] ?? 0)).toFixed(3)}`)
        .join(', ')
    console.log(`  after ${count} pictures, by the advice: ${words(sixth)}; square on: ${words(evenly)}`)
  }
  console.log(
    `  pictures asked for before it says that nothing more is gained: mean ${mean(followed.map(({ cameras }) => cameras.length)).toFixed(1)}`,
  )
}

import { describe, expect, it } from 'vitest'
import { assess } from '../../lib/finding/assess'
import { placeMark } from '../../lib/finding/placed-mark'
import { readInspection } from '../../lib/journal/read-inspection'
import { surfaceOf } from '../../lib/journal/surface'
import { fitPhoto } from '../../lib/photo/cylinder-fit'
import type { RenderedCase } from '../fixtures/render/cases'
import { meridianAt, meridianLength } from '../fixtures/render/metal'
import { noiseFrom } from '../fixtures/render/noise'
import { caseCount, caseOf, type Claim, claimsOfMark, firstSeed, type SettingName, samplesOf, settings } from './fit-study'

/** Shares inside 1.96 sigma, whole and for each tenth of the claims from the smallest sigma to the largest. */
function coverage(claims: readonly Claim[]): { whole: number; tenths: number[]; count: number } {
  const sorted = [...claims].sort((a, b) => a.sigma - b.sigma)
  const inside = (part: readonly Claim[]) => part.filter(({ error, sigma }) => Math.abs(error) <= 1.96 * sigma).length / part.length
  const cut = (tenth: number) => Math.floor((tenth * sorted.length) / 10)
  return {
    whole: inside(sorted),
    tenths: Array.from({ length: 10 }, (_, k) => inside(sorted.slice(cut(k), cut(k + 1)))),
    count: claims.length,
  }
}

/** A tenth of fewer cases says nothing. */
const casesForTenths = 1000

/**
 * 93 to 97 %, and what the number of claims itself leaves open: three deviations of a binomial share. Marks of one case share its fit, so the
 * cases count, not the marks.
 */
function hold(name: string, claims: readonly Claim[], cases: number): void {
  const quantities = [...new Set(claims.map(({ quantity }) => quantity))]
  for (const quantity of quantities) {
    const { whole, tenths, count } = coverage(claims.filter((c) => c.quantity === quantity))
    const percent = (share: number) => (100 * share).toFixed(1)
    console.info(
      `${name}, ${quantity}: ${count} claims, inside 1.96 sigma ${percent(whole)} %; by tenths of sigma ${tenths.map(percent).join(' ')}`,
    )
    const open = (n: number) => 3 * Math.sqrt((0.05 * 0.95) / n)
    const judged = [[whole, cases] as const, ...(cases < casesForTenths ? [] : tenths.map((tenth) => [tenth, cases / 10] as const))]
    for (const [share, n] of judged) {
      expect(share, `${name}, ${quantity}`).toBeGreaterThanOrEqual(0.93 - open(n))
      expect(share, `${name}, ${quantity}`).toBeLessThanOrEqual(Math.min(1, 0.97 + open(n)))
    }
  }
}

/** Each vertex of each mark on the map: around (R theta) and along (s), beside its own claimed deviations. */
function vertexClaims(rendered: RenderedCase): Claim[] {
  const read = readInspection(rendered.inspection)
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const [journal] = read.value.journals
  const outcome = fitPhoto(journal, read.value.photos[0], null)
  if (!outcome.ok) throw new Error(outcome.reason.code)
  return read.value.marks.flatMap((mark, m) => {
    const placed = placeMark(surfaceOf(journal), mark, outcome.value, 1.645)
    if (!placed.ok) return []
    const { vertices, covariance, rollKnown } = placed.value
    const size = 2 * vertices.length + 2
    return vertices.flatMap(({ theta, s }, i): Claim[] => {
      const real = rendered.lines[m].vertices[i]
      const turn = Math.atan2(Math.sin(theta - real.theta), Math.cos(theta - real.theta))
      const sigma = (k: number) => Math.sqrt(covariance[(2 * i + k) * (size + 1)])
      const along: Claim = { quantity: 'vertex along', error: s - real.s, sigma: sigma(1) }
      return rollKnown ? [{ quantity: 'vertex around', error: rendered.metal.radius * turn, sigma: sigma(0) }, along] : [along]
    })
  })
}

/** The same lines drawn on the map by a hand that errs by `sigmaMm` in every direction; those that the hand might draw past an end are left out. */
function mapClaims(rendered: RenderedCase, sigmaMm: number): Claim[] {
  const noise = noiseFrom(80_000_000 + rendered.seed)
  const { metal, lines, inspection } = rendered
  const room = 6 * sigmaMm
  const within = lines.filter(({ vertices }) => vertices.every(({ s }) => s > room && s < meridianLength(metal) - room))
  const marks = within.map(({ id, vertices }) => ({
    id,
    journalId: 'J1',
    sigmaMm,
    points: vertices.map(({ theta, s }) => ({
      angleDeg: ((theta + (sigmaMm * noise.normal()) / metal.radius) * 180) / Math.PI,
      axial: meridianAt(metal, s + sigmaMm * noise.normal()).z,
    })),
  }))
  const read = readInspection({ ...inspection, photos: [], marks })
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  return assess(read.value, {}).marks.flatMap((mark) => claimsOfMark(mark, rendered.truth[mark.id]))
}

describe('sigmas against brute-force truth of rendered cases: 93 to 97 % inside 1.96 sigma, by tenths of their size', () => {
  const cases = caseCount(15)
  const first = firstSeed(70_000)
  it.each(Object.keys(settings) as SettingName[])(
    'marks picked in photographs: %s',
    (setting) => {
      const claims: Claim[] = []
      for (let seed = first; seed < first + cases; seed++) claims.push(...samplesOf(caseOf(setting, seed), false))
      hold(setting, claims, cases)
    },
    60_000 + cases * 300,
  )

  it.each<[SettingName]>([['focal known'], ['focal and k1 unknown, any ends, marks in fillets']])(
    'each vertex: %s',
    (setting) => {
      const claims: Claim[] = []
      for (let seed = first; seed < first + cases; seed++) claims.push(...vertexClaims(caseOf(setting, seed)))
      hold(`vertices, ${setting}`, claims, cases)
    },
    60_000 + cases * 200,
  )

  it.each([0.1, 0.3])(
    'marks drawn on the map to %s mm',
    (sigmaMm) => {
      const claims: Claim[] = []
      for (let seed = first; seed < first + cases; seed++) {
        claims.push(...mapClaims(caseOf('focal and k1 unknown, any ends, marks in fillets', seed), sigmaMm))
      }
      hold(`map marks to ${sigmaMm} mm`, claims, cases)
    },
    60_000 + cases * 200,
  )
})

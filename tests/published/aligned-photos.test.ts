/**
 * Photographs of one journal taken turn by turn, rendered by code that shares nothing with lib: those that show no oil hole
 * take their angle about the shaft from their neighbours, or say that they cannot.
 */
import { describe, expect, it } from 'vitest'
import { fitPhotos } from '../../lib/finding/assess'
import { readInspection } from '../../lib/journal/read-inspection'
import type { Fit } from '../../lib/photo/cylinder-fit'
import { verticesCovariance } from '../../lib/photo/map-covariance'
import { pixelToMap } from '../../lib/photo/unproject'
import { alignJournal } from '../../lib/rollout/align-journal'
import { type TurnedJournal, turnedJournal } from '../fixtures/render/turns'

type Placed = { photoId: string; errorsMm: number[]; sigmasMm: number[]; warnings: string[]; rollKnown: boolean }

async function aligned(journal: TurnedJournal): Promise<Placed[]> {
  const read = readInspection(journal.inspection)
  if (!read.ok) throw new Error(JSON.stringify(read.reason))
  const inspection = read.value
  const fits = fitPhotos(inspection, {})
  const refined = await alignJournal(
    inspection.journals[0],
    inspection.photos.flatMap((photo) => {
      const outcome = fits.get(photo.id)
      return outcome ? [{ photo, lens: null, outcome }] : []
    }),
    async (photo) => journal.picture(inspection.photos.indexOf(photo)),
  )
  return inspection.marks.map((mark) => {
    const photoId = mark.photoId as string
    const own = fits.get(photoId)
    const outcome = refined.get(photoId) ?? own
    const fit = outcome?.ok ? outcome.value : null
    if (!fit) throw new Error(`${photoId} has no fit`)
    return { photoId, ...placesOf(fit, mark.pixels ?? [], journal.truth[mark.id]), ...toldOf(fit) }
  })
}

function placesOf(fit: Fit, pixels: readonly (readonly [number, number])[], truth: readonly { theta: number; s: number }[]) {
  const places = pixels.map(([u, v]) => {
    const found = pixelToMap(fit.surface, fit.camera, { u, v })
    if (!found.ok) throw new Error('a mark misses the journal')
    return found.value
  })
  const covariance = verticesCovariance(fit, places, fit.pickSigmaPx)
  const errorsMm = places.map(({ theta }, i) => {
    const off = theta - truth[i].theta
    return fit.surface.radius * (off - 2 * Math.PI * Math.round(off / (2 * Math.PI)))
  })
  const n = 2 * places.length + 2
  return { errorsMm, sigmasMm: places.map((_, i) => Math.sqrt(covariance?.[2 * i * n + 2 * i] ?? Number.NaN)) }
}

const toldOf = (fit: Fit) => ({ warnings: fit.warnings.map(({ code }) => code), rollKnown: fit.rollKnown })
const worst = ({ errorsMm }: Placed) => Math.max(...errorsMm.map(Math.abs))

describe('a journal photographed all around, the oil hole in view in two or three of eight photographs', () => {
  it('places every photograph: 95 % of the marks lie within 0.2 mm around the journal, all within 0.3 mm, as their sigmas say', async () => {
    const all = (await Promise.all([20_501, 20_502, 20_503].map((seed) => aligned(turnedJournal(seed))))).flat()
    const borrowed = all.filter(({ warnings }) => warnings.includes('roll-from-neighbours'))
    expect(all.every(({ rollKnown }) => rollKnown)).toBe(true)
    expect(borrowed.length).toBeGreaterThanOrEqual(14)
    const errors = all.flatMap(({ errorsMm }) => errorsMm)
    const sigmas = all.flatMap(({ sigmasMm }) => sigmasMm)
    const p95 = errors.map(Math.abs).sort((a, b) => a - b)[Math.floor(0.95 * errors.length)]
    const inside = errors.filter((error, i) => Math.abs(error) <= 1.96 * sigmas[i]).length / errors.length
    const ownUnits = Math.sqrt(errors.reduce((sum, error, i) => sum + (error / sigmas[i]) ** 2, 0) / errors.length)
    console.info(
      `${all.length} photographs, ${borrowed.length} with a borrowed angle: marks ${p95.toFixed(3)} mm off (95 %), worst ${Math.max(...all.map(worst)).toFixed(3)} mm, inside 1.96 sigma ${(100 * inside).toFixed(1)} %, in units of sigma ${ownUnits.toFixed(2)}`,
    )
    expect(p95).toBeLessThan(0.2)
    expect(Math.max(...all.map(worst))).toBeLessThan(0.3)
    // the marks of one journal lean on one hole: their errors go together, three journals are few
    expect(inside).toBeGreaterThanOrEqual(0.9)
    expect(ownUnits).toBeGreaterThan(0.4)
    expect(ownUnits).toBeLessThan(1.4)
  }, 300_000)
})

describe('a photograph of which nothing but the two sides is picked', () => {
  it('is laid along the journal as well as around it, and its front is told from its rear', async () => {
    const journal = turnedJournal(20_531, { facingDeg: [0, 45] })
    Object.assign(journal.inspection.photos[1].handles, { rings: [], oilHoles: [] })
    const [, second] = await aligned(journal)
    expect(second.rollKnown).toBe(true)
    expect(worst(second)).toBeLessThan(0.3)
  }, 120_000)
})

describe('a photograph that shows nothing alike with the others', () => {
  it('because it stands away from them, stays without its angle and says that it matches nowhere', async () => {
    const all = await aligned(turnedJournal(20_511, { facingDeg: [0, 45, 200] }))
    expect(all.map(({ rollKnown }) => rollKnown)).toEqual([true, true, false])
    expect(all[2].warnings).toContain('matches-nowhere')
    expect(worst(all[1])).toBeLessThan(0.3)
  }, 120_000)

  it('because it is of another journal, likewise, although it shows a hole that nobody picked', async () => {
    const journal = turnedJournal(20_512, { facingDeg: [0, 40, 180, 220], holesDeg: [10, 190], strangers: [2, 3] })
    for (const photo of [2, 3]) journal.inspection.photos[photo].handles.oilHoles = []
    const all = await aligned(journal)
    expect(all.map(({ rollKnown }) => rollKnown)).toEqual([true, true, false, false])
    expect(all.slice(2).every(({ warnings }) => warnings.includes('matches-nowhere'))).toBe(true)
  }, 120_000)

  it('because only the lay of grinding is to be seen, is not laid anywhere', async () => {
    const bare = { stains: 0, pits: 0, scratches: 0 }
    const all = await aligned(turnedJournal(20_513, { facingDeg: [0, 45, 90, 135], ground: bare, lamps: 60 }))
    for (const one of all.filter(({ rollKnown }) => rollKnown)) expect(worst(one)).toBeLessThan(0.3)
  }, 120_000)
})

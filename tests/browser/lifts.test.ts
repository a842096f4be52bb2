/** A rubbing on squared paper: brought in, its points tapped, laid on the map, a mark drawn on it; at a desk and on a phone. */
import sharp from 'sharp'
import { describe, expect, it } from 'vitest'
import { liftSchema } from '../../lib/model/lift'
import type { LiftRow } from '../../lib/model/rows'
import { tooSmall, violations } from './accessibility'
import { onWhole, pressAt } from './bench-drive'
import { desk, openPage, type Page, phone, programInBrowser, shoot } from './harness'

const own = programInBrowser()

/** Squared paper of 120 x 70 mm at 8 px per mm; the rubbing between y 20 and y 45, the front edge below, the witness line at x 60. */
const size = { width: 960, height: 560 }
const px = (xMm: number, yMm: number): [number, number] => [8 * xMm, 8 * yMm]
const picture = () =>
  sharp(
    Buffer.from(
      `<svg xmlns="http://www.w3.org/2000/svg" width="960" height="560" viewBox="0 0 120 70"><rect width="120" height="70" fill="#f4f1e8"/>${Array.from(
        { length: 13 },
        (_, i) => `<path d="M${10 * i} 0V70M0 ${10 * i}H120" stroke="#9db" stroke-width=".3"/>`,
      ).join(
        '',
      )}<rect x="8" y="20" width="104" height="25" fill="#777" opacity=".6"/><path d="M70 25L85 40" stroke="#111" stroke-width=".4"/></svg>`,
    ),
  )
    .jpeg()
    .toBuffer()

/** Radius 30, the cylinder 25 mm between tangent lines: s from 2.5 pi / 2 on. */
const frontS = (2.5 * Math.PI) / 2
const trueMark = [
  { angleDeg: (10 / 30.05) * (180 / Math.PI), s: frontS + 20 },
  { angleDeg: (25 / 30.05) * (180 / Math.PI), s: frontS + 5 },
]

async function shaft(): Promise<string> {
  const id = crypto.randomUUID()
  const end = { form: 'tangent', radius: 2.5 }
  const journal = { id: 'P1', kind: 'pin', diameter: 60, width: 30, fillets: { front: end, rear: end } }
  const answer = await fetch(`${own.program.url}/api/shafts`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      id,
      shaft: { id: `L${id.slice(0, 4)}`, label: 'A rubbed pin' },
      journals: [{ id: crypto.randomUUID(), journal }],
    }),
  })
  expect(answer.status, await answer.clone().text()).toBe(201)
  return id
}

const rows = async (id: string) => ((await (await fetch(`${own.program.url}/api/shafts/${id}/lifts`)).json()) as { rows: LiftRow[] }).rows
const liftLabel = /^Lift l1/

async function bringIn(page: Page, id: string): Promise<void> {
  await page.getByText('No lift of pin 1 yet.').waitFor()
  await page.getByLabel('Picture of a lift to add').setInputFiles({ name: 'rubbing.jpg', mimeType: 'image/jpeg', buffer: await picture() })
  await page.getByRole('application', { name: liftLabel }).waitFor()
  expect(await rows(id)).toMatchObject([{ lift: { id: 'l1', journalId: 'P1', file: 'rubbing.jpg', ...size } }])
}

async function tap(page: Page, places: readonly (readonly [number, number])[]): Promise<void> {
  for (const [x, y] of places) await pressAt(page, (await onWhole(page, liftLabel, size))(...px(x, y)))
}

describe('a lift at a desk', () => {
  it('is tapped, typed, laid on the map, marked and kept', async () => {
    const id = await shaft()
    const { context, page, errors } = await openPage(own.browser, `${own.program.url}/shafts/${id}/lifts?journal=P1`, desk)
    await bringIn(page, id)
    await tap(page, [
      [10, 10],
      [110, 10],
      [110, 60],
      [10, 60],
    ])
    await page.getByText('They are the corners of a rectangle').click()
    await page.getByLabel('1 to 2').fill('100')
    await page.getByLabel('2 to 3').fill('50')
    await page.getByRole('button', { name: 'Set the four places' }).click()
    await page.getByRole('button', { name: 'Next: front edge' }).click()
    await tap(page, [
      [12, 45],
      [108, 45],
    ])
    await page.getByRole('button', { name: 'Next: rear edge' }).click()
    await tap(page, [
      [12, 20],
      [108, 20],
    ])
    await page.getByRole('button', { name: 'Next: witness line' }).click()
    await tap(page, [
      [60, 24],
      [60, 41],
    ])
    await page.getByText('It lies on the map.').waitFor()
    await page.getByRole('button', { name: 'Next: marks' }).click()
    // past the tangent line: refused, and nothing of the drawing is lost
    await tap(page, [
      [70, 25],
      [85, 52],
    ])
    await page.getByRole('button', { name: 'Keep as a mark' }).click()
    await page.getByText(/past the front tangent line/).waitFor()
    await page.getByRole('button', { name: 'Drop point' }).click()
    await tap(page, [[85, 40]])
    await page.getByRole('button', { name: 'Keep as a mark' }).click()
    await page.getByRole('list', { name: 'Marks from this lift' }).waitFor()
    await shoot(page, 'lift-desk')
    const document = async () =>
      (await fetch(`${own.program.url}/api/shafts/${id}`)).json() as Promise<{ marks: { mark: Record<string, unknown> }[] }>
    await expect.poll(async () => (await document()).marks.length).toBe(1)
    const { mark } = (await document()).marks[0] as { mark: { points: { angleDeg: number; s: number }[]; sigmaMm: number; note: string } }
    expect(mark.note).toBe('From a lift: tape lift l1.')
    expect(mark.sigmaMm).toBeGreaterThan(0.2)
    expect(mark.sigmaMm).toBeLessThan(0.6)
    for (const [i, { angleDeg, s }] of mark.points.entries()) {
      expect(Math.abs(angleDeg - (trueMark[i]?.angleDeg ?? 0)) * (Math.PI / 180) * 30).toBeLessThan(0.3)
      expect(Math.abs(s - (trueMark[i]?.s ?? 0))).toBeLessThan(0.3)
    }
    await expect.poll(async () => (await rows(id))[0]?.lift.witness.pixels.length).toBe(2)
    expect(liftSchema.safeParse((await rows(id))[0]?.lift).success).toBe(true)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    await page.getByRole('button', { name: 'Remove lift l1' }).click()
    await page.getByText('Lift l1 is gone.').waitFor()
    await page.getByRole('button', { name: 'Put it back' }).last().click()
    await page.getByRole('application', { name: liftLabel }).waitFor()
    expect(errors).toEqual([])
    await context.close()
  })
})

describe('a lift on a phone', () => {
  it('is reached from the bench, fits the screen and can be pressed with a thumb', async () => {
    const id = await shaft()
    const { context, page, errors } = await openPage(own.browser, `${own.program.url}/shafts/${id}/bench?journal=P1`, phone)
    await page.getByText(/^Take a picture from /).waitFor()
    await page.getByRole('link', { name: 'Tape lifts and rubbings' }).click()
    await bringIn(page, id)
    await page.getByText('Known points').first().waitFor()
    expect(await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth)).toBeLessThanOrEqual(0)
    await shoot(page, 'lift-phone')
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    expect(errors).toEqual([])
    await context.close()
  })
})

/** Micrometer readings: typed with Enter from place to place, asked about where they do not fit, in mm and inches, at desk and phone. */
import { describe, expect, it } from 'vitest'
import type { ShaftDocument } from '../../lib/model/rows'
import { tooSmall, violations } from './accessibility'
import { desk, openPage, phone, programInBrowser, shoot } from './harness'

const worked = '2b1f7c1e-5d0a-4c55-9a64-2217a0000001'
const untouched = '2b1f7c1e-5d0a-4c55-9a64-2217a0000002'

describe.each([
  ['desk', desk],
  ['phone', phone],
] as const)('readings at the %s', (place, options) => {
  const own = programInBrowser({ demo: true })

  async function readingsOf(shaftId: string, journalId: string) {
    const shaft = (await (await fetch(`${own.program.url}/api/shafts/${shaftId}`)).json()) as ShaftDocument
    return shaft.sizes.find((row) => row.sizes.journalId === journalId)?.sizes.readings ?? []
  }

  it('of the example stand in their places', async () => {
    const { context, page, errors } = await openPage(own.browser, `${own.program.url}/shafts/${worked}/sizes`, options)
    await page.getByRole('button', { name: 'Pin 1, front, at 0°: 73.514 mm' }).filter({ visible: true }).waitFor()
    await page.getByRole('img', { name: 'Micrometer set to 73.514 mm' }).waitFor()
    await page.getByText('That is close to a 0.50 mm undersize').waitFor()
    await shoot(page, `sizes-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBe(0)
    expect(errors).toEqual([])
    await context.close()
  })

  it('are typed with Enter from place to place and saved', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${untouched}/sizes`, options)
    const field = page.getByLabel('Type what you read')
    await field.focus()
    for (const reading of ['73.514', '73,512', '73.516']) {
      await page.keyboard.type(reading)
      await page.keyboard.press('Enter')
    }
    await page.getByRole('heading', { name: 'Pin 1, middle, at 90°' }).waitFor()
    expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('INPUT')
    await expect.poll(() => readingsOf(untouched, 'P1')).toHaveLength(3)
    const stored = await readingsOf(untouched, 'P1')
    expect(stored.map(({ angleDeg, diameter }) => [angleDeg, diameter])).toEqual([
      [0, 73.514],
      [90, 73.512],
      [0, 73.516],
    ])
    expect(stored[2]?.axial).toBeCloseTo(18.9, 1)
    await context.close()
  })

  it('that do not fit are asked about with the likely slip', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${untouched}/sizes`, options)
    await page.getByRole('heading', { name: 'Pin 1, middle, at 90°' }).waitFor()
    const field = page.getByLabel('Type what you read')
    await field.fill('75.314')
    await page.keyboard.press('Enter')
    await page.getByText('1.800 mm larger than its neighbours. Did you mean 73.514 mm?').waitFor()
    await shoot(page, `sizes-question-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await readingsOf(untouched, 'P1')).toHaveLength(3)
    await page.getByRole('button', { name: 'Use 73.514 mm' }).click()
    await page.getByRole('heading', { name: 'Pin 1, rear, at 0°' }).waitFor()
    await field.fill('73.1')
    await page.keyboard.press('Enter')
    await page.getByRole('button', { name: 'It is right' }).click()
    await expect
      .poll(async () => (await readingsOf(untouched, 'P1')).map((reading) => reading.diameter))
      .toEqual([73.514, 73.512, 73.516, 73.514, 73.1])
    await field.fill('seventy')
    await page.keyboard.press('Enter')
    await page.getByText('“seventy” is not a length.').waitFor()
    await context.close()
  })

  it('in inches go to a ten-thousandth, and changing the unit rounds nothing in the store', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${worked}/sizes`, options)
    await page.getByRole('heading', { name: 'Pin 1, front, at 0°' }).waitFor()
    const before = await readingsOf(worked, 'P1')
    await page.keyboard.press('u')
    await page.getByRole('button', { name: 'Pin 1, front, at 0°: 2.8943 in' }).filter({ visible: true }).waitFor()
    await page.getByLabel('Type what you read').focus()
    await page.keyboard.press('Enter')
    await page.waitForTimeout(500)
    expect(await readingsOf(worked, 'P1')).toEqual(before)
    await page.getByLabel('Type what you read').fill('2.8942')
    await page.keyboard.press('Enter')
    await expect.poll(async () => (await readingsOf(worked, 'P1'))[0]?.diameter).toBeCloseTo(2.8942 * 25.4, 9)
    await page.keyboard.press('Escape')
    await context.close()
  })
})

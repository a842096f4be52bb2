/** The printed strip: its sheet made and kept, its fields in the set-up, at desk and phone. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { journalWord } from '../../components/ui/shaft-words'
import type { ShaftDocument } from '../../lib/model/rows'
import { tooSmall, violations } from './accessibility'
import { type Browser, desk, openBrowser, openPage, type Program, phone, shoot, startProgram } from './harness'

const untouched = '2b1f7c1e-5d0a-4c55-9a64-2217a0000002'

describe.each([
  ['desk', desk],
  ['phone', phone],
] as const)('the printed strip at the %s', (place, options) => {
  let browser: Browser
  let program: Program
  beforeAll(async () => {
    program = await startProgram({ demo: true })
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await program?.dispose()
  })

  it('is made for a journal and kept as a PDF', async () => {
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${untouched}/strip`, options)
    await page.getByRole('heading', { name: 'Before wrapping, with a rule' }).waitFor()
    await page.getByRole('radio', { name: 'Letter' }).click()
    const address = await page.getByRole('link', { name: 'Download the sheet (PDF)' }).getAttribute('href')
    expect(address).toMatch(/paper=letter$/)
    const answer = await fetch(`${program.url}${address}`)
    expect(answer.headers.get('content-type')).toBe('application/pdf')
    expect(
      Buffer.from(await answer.arrayBuffer())
        .subarray(0, 5)
        .toString(),
    ).toBe('%PDF-')
    await shoot(page, `strip-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBe(0)
    expect(errors).toEqual([])
    await context.close()
  })

  it('is made for the journal that the address names, and the address follows the choice', async () => {
    const { journals } = (await (await fetch(`${program.url}/api/shafts/${untouched}`)).json()) as ShaftDocument
    const [first, second] = journals
    const { context, page } = await openPage(browser, `${program.url}/shafts/${untouched}/strip?journal=${second.journal.id}`, options)
    const sheet = page.getByRole('link', { name: 'Download the sheet (PDF)' })
    await expect.poll(() => sheet.getAttribute('href')).toContain(second.id)
    await page.getByRole('radio', { name: journalWord(first.journal), exact: true }).click()
    await expect.poll(() => sheet.getAttribute('href')).toContain(first.id)
    await expect.poll(() => new URL(page.url()).searchParams.get('journal')).toBe(first.journal.id)
    await context.close()
  })

  it('is said to be worn in the set-up, with the gap that was read', async () => {
    const { context, page } = await openPage(browser, `${program.url}/shafts/${untouched}/setup`, options)
    await page.getByText('It is photographed with a printed strip round it').click()
    await page.getByLabel('Gap where it closes').fill('0.4')
    expect(await violations(page)).toEqual([])
    await expect
      .poll(async () => {
        const shaft = (await (await fetch(`${program.url}/api/shafts/${untouched}`)).json()) as ShaftDocument
        return shaft.journals.flatMap(({ journal }) => journal.strip ?? [])
      })
      .toMatchObject([{ toFront: 'front', gapMm: 0.4, frontEdge: null }])
    await context.close()
  })
})

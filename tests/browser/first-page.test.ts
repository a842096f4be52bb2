/** The first page, as it comes up in a browser at a desk and at a phone. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Browser, desk, openBrowser, openPage, type Program, phone, shoot, startProgram } from './harness'

describe.each([
  ['desk', desk],
  ['phone', phone],
] as const)('the first page at the %s', (place, options) => {
  let program: Program
  let browser: Browser

  beforeAll(async () => {
    program = await startProgram({ demo: true })
    browser = await openBrowser()
  })
  afterAll(async () => {
    await browser?.close()
    await program?.dispose()
  })

  it('shows the example shafts, without an error and without asking another machine', async () => {
    const { context, page, errors } = await openPage(browser, 'about:blank', options)
    const asked = new Set<string>()
    page.on('request', (request) => asked.add(new URL(request.url()).host))
    await page.goto(program.url)
    await page.getByText('Petrel').first().waitFor()
    await shoot(page, `first-page-${place}`)
    expect([...asked].filter((host) => host !== '' && host !== `127.0.0.1:${program.port}`)).toEqual([])
    expect(errors).toEqual([])
    await context.close()
  })

  it('does not scroll sideways', async () => {
    const { context, page } = await openPage(browser, program.url, options)
    await page.getByText('Petrel').first().waitFor()
    const beyond = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
    expect(beyond).toBe(0)
    await context.close()
  })
})

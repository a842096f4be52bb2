/** The first page, as it comes up in a browser at a desk and at a phone. */
import { describe, expect, it } from 'vitest'
import { desk, openPage, phone, programInBrowser, shoot } from './harness'

describe.each([
  ['desk', desk],
  ['phone', phone],
] as const)('the first page at the %s', (place, options) => {
  const own = programInBrowser({ demo: true })

  it('shows the example shafts, without an error and without asking another machine', async () => {
    const { context, page, errors } = await openPage(own.browser, 'about:blank', options)
    const asked = new Set<string>()
    page.on('request', (request) => asked.add(new URL(request.url()).host))
    await page.goto(own.program.url)
    await page.getByText('Petrel').first().waitFor()
    await shoot(page, `first-page-${place}`)
    expect([...asked].filter((host) => host !== '' && host !== `127.0.0.1:${own.program.port}`)).toEqual([])
    expect(errors).toEqual([])
    await context.close()
  })

  it('does not scroll sideways', async () => {
    const { context, page } = await openPage(own.browser, own.program.url, options)
    await page.getByText('Petrel').first().waitFor()
    const beyond = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)
    expect(beyond).toBe(0)
    await context.close()
  })
})

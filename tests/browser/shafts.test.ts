/** The first page: find a shaft, take it off and put it back, bring a file in, begin on an empty bench. */
import { mkdtemp, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import path from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { tooSmall, violations } from './accessibility'
import { type Browser, desk, openBrowser, openPage, type Program, phone, shoot, startProgram } from './harness'

let browser: Browser
beforeAll(async () => {
  browser = await openBrowser()
})
afterAll(async () => {
  await browser?.close()
})

describe.each([
  ['desk', desk],
  ['phone', phone],
] as const)('the shafts at the %s', (place, options) => {
  let program: Program
  let folder: string
  beforeAll(async () => {
    program = await startProgram({ demo: true })
    folder = await mkdtemp(path.join(tmpdir(), 'throwmark-files-'))
  })
  afterAll(async () => {
    await program?.dispose()
    if (folder) await rm(folder, { recursive: true, force: true })
  })

  it('show each its word of concern and its next step, and break no rule of accessibility, bright or dim', async () => {
    const { context, page, errors } = await openPage(browser, program.url, options)
    await page.getByRole('heading', { name: 'Petrel, four-cylinder diesel', exact: true }).waitFor()
    const worked = page.getByRole('listitem').filter({ hasText: '5 mains, 4 pins' }).filter({ hasText: 'Treat as cracked' })
    await worked.getByText('Magnetic particles').waitFor()
    await page.getByRole('listitem').getByText('Nothing recorded').waitFor()
    await shoot(page, `shafts-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    await page.keyboard.press('l')
    expect(await page.evaluate(() => document.documentElement.dataset.light)).toBe('dim')
    await shoot(page, `shafts-dim-${place}`)
    expect(await violations(page)).toEqual([])
    expect(errors).toEqual([])
    await context.close()
  })

  it('are found by a part of tag or owner, from the keyboard', async () => {
    const { context, page } = await openPage(browser, program.url, options)
    await page.getByRole('listitem').first().waitFor()
    await page.keyboard.press('/')
    await page.keyboard.type('UNTOUCHED 2217')
    await page.getByText('1 of 2').waitFor()
    expect(await page.getByRole('button', { name: /^Take off/ }).count()).toBe(1)
    await page.keyboard.type(' nobody')
    await page.getByText('No shaft is like that.').waitFor()
    await page.getByRole('button', { name: 'Show all 2' }).click()
    expect(await page.getByRole('button', { name: /^Take off/ }).count()).toBe(2)
    await context.close()
  })

  it('can be taken off and put back', async () => {
    const { context, page } = await openPage(browser, program.url, options)
    await page.getByRole('button', { name: /^Take off: W\.O\. 2217-2/ }).click()
    await page.getByText('is off the bench.').waitFor()
    expect(await violations(page)).toEqual([])
    expect(await page.getByRole('button', { name: /^Take off/ }).count()).toBe(1)
    await page.getByRole('button', { name: 'Put it back' }).click()
    await page.getByRole('button', { name: /^Take off: W\.O\. 2217-2/ }).waitFor()
    await context.close()
  })

  it('name every fault of a file by its place in it, and change nothing', async () => {
    const file = path.join(folder, 'narrow.json')
    const journal = {
      id: 'P1',
      kind: 'pin',
      diameter: 57,
      width: 4,
      fillets: { front: { form: 'tangent', radius: 3 }, rear: { form: 'tangent', radius: 3 } },
    }
    await writeFile(
      file,
      JSON.stringify({ format: 'throwmark/inspection@1', units: 'mm', shaft: { id: 'F1', label: '' }, journals: [journal] }),
    )
    const { context, page } = await openPage(browser, program.url, options)
    await page.getByLabel('Bring in an inspection file').setInputFiles(file)
    await page.getByText('narrow.json was not brought in. Nothing was changed.').waitFor()
    await page.getByText('$.journals[0].width').waitFor()
    await shoot(page, `shafts-import-fault-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await page.getByRole('button', { name: /^Take off/ }).count()).toBe(2)
    await context.close()
  })

  it('take in a file, and say which photographs it lacks', async () => {
    const file = path.join(folder, 'whole.json')
    const journal = {
      id: 'P1',
      kind: 'pin',
      diameter: 2.25,
      width: 1.2,
      fillets: { front: { form: 'tangent', radius: 0.1 }, rear: { form: 'step' } },
    }
    const photo = { id: 'a', journalId: 'P1', file: 'a.jpg', width: 4000, height: 3000, handles: {} }
    await writeFile(
      file,
      JSON.stringify({
        format: 'throwmark/inspection@1',
        units: 'in',
        shaft: { id: `W${place}`, label: 'Whole' },
        journals: [journal],
        photos: [photo],
      }),
    )
    const { context, page } = await openPage(browser, program.url, options)
    await page.getByLabel('Bring in an inspection file').setInputFiles(file)
    await page.getByText('one photograph was not in the file').waitFor()
    expect(await violations(page)).toEqual([])
    await context.close()
  })
})

describe('an empty bench', () => {
  let program: Program
  beforeAll(async () => {
    program = await startProgram({ demo: false })
  })
  afterAll(async () => {
    await program?.dispose()
  })

  it.each([
    ['desk', desk],
    ['phone', phone],
  ] as const)('says what will be here and offers two ways to begin, at the %s', async (place, options) => {
    const { context, page, errors } = await openPage(browser, program.url, options)
    await page.getByRole('heading', { name: 'Where does the line lie, and how does it run?' }).waitFor()
    await shoot(page, `empty-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBe(0)
    await page.getByRole('link', { name: 'Put a shaft on the bench' }).click()
    await page.getByRole('heading', { name: 'Which shaft is it?' }).waitFor()
    expect(errors).toEqual([])
    await context.close()
  })

  it('opens the example shaft where none was seeded', async () => {
    const { context, page } = await openPage(browser, program.url)
    await page.getByRole('button', { name: 'Open the example shaft' }).click()
    await page.waitForURL(/\/shafts\/[0-9a-f-]{36}\/bench/)
    await page.goto(program.url)
    await page.getByRole('heading', { name: 'Petrel, four-cylinder diesel', exact: true }).waitFor()
    await context.close()
  })

  it('has cautions and a page for addresses that lead nowhere', async () => {
    const { context, page } = await openPage(browser, program.url, phone)
    await page.getByRole('link', { name: 'Cautions' }).click()
    await page.getByRole('heading', { name: 'Who decides' }).waitFor()
    await shoot(page, 'cautions-phone')
    expect(await violations(page)).toEqual([])
    await page.goto(`${program.url}/no/such/page`)
    await page.getByRole('heading', { name: 'Nothing is kept at this address' }).waitFor()
    expect(await violations(page)).toEqual([])
    await page.goto(`${program.url}/shafts/2b1f7c1e-5d0a-4c55-9a64-00000000dead/setup`)
    await page.getByText('There is no such shaft on the bench.').waitFor()
    expect(await violations(page)).toEqual([])
    await context.close()
  })
})

/** A new shaft set up in mm and in inches, with the keyboard alone and with a thumb; its exceptions; a server that stops answering. */
import { describe, expect, it } from 'vitest'
import type { ShaftDocument } from '../../lib/model/rows'
import { tooSmall, violations } from './accessibility'
import { desk, openPage, type Page, phone, programInBrowser, shoot } from './harness'

const own = programInBrowser({ demo: true })

const workedShaft = '2b1f7c1e-5d0a-4c55-9a64-2217a0000001'

async function storedShaft(id: string): Promise<ShaftDocument> {
  return (await fetch(`${own.program.url}/api/shafts/${id}`)).json() as Promise<ShaftDocument>
}

async function fillLengths(page: Page, lengths: Record<string, string>) {
  for (const [label, text] of Object.entries(lengths)) await page.getByLabel(label, { exact: true }).fill(text)
}

const shaftIdIn = (page: Page) => new URL(page.url()).pathname.split('/')[2] as string

describe('a new shaft', () => {
  it('of six cylinders in inches, typed as a shop writes them', async () => {
    const { context, page, errors } = await openPage(own.browser, `${own.program.url}/shafts/new`)
    await page.getByRole('radio', { name: 'inch' }).click()
    await page.getByLabel('Work order').fill('2231')
    await page.getByLabel('What the tag says').fill('Harrow press engine')
    await page.getByRole('radiogroup', { name: 'Cylinders' }).getByRole('radio', { name: '6', exact: true }).click()
    await page.getByText('7 mains, 6 pins').waitFor()
    await fillLengths(page, { 'Diameter, as measured': '2.3735', 'Width, cheek to cheek': '1 3/16', 'Fillet radius, both ends': '1/8"' })
    await page.getByRole('radio', { name: '1 oil hole' }).click()
    await fillLengths(page, { 'Mouth around': '5/16', 'Mouth along': '.394', 'Angle from zero': '60' })
    await page.getByRole('radiogroup', { name: 'Plating' }).getByRole('radio', { name: 'suspected' }).click()
    await fillLengths(page, { 'Standard size, from': '2.3730', to: '2.3740' })
    await shoot(page, 'setup-new-inch-desk')
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    await page.getByRole('button', { name: 'Next: mains' }).click()
    await fillLengths(page, { 'Diameter, as measured': '2 1/2', 'Width, cheek to cheek': '1.25', 'Fillet radius, both ends': '0.125' })
    await page.getByRole('button', { name: 'Put it on the bench' }).click()
    await page.waitForURL(/\/sizes$/)
    const { shaft, journals } = await storedShaft(shaftIdIn(page))
    expect(shaft.shaft).toEqual({ id: '2231', label: 'Harrow press engine' })
    expect(journals.map((row) => row.journal.id).join(' ')).toBe('M1 P1 M2 P2 M3 P3 M4 P4 M5 P5 M6 P6 M7')
    const pin = journals[1]?.journal
    expect(pin?.width).toBeCloseTo(30.1625, 9)
    expect(pin?.fillets.front).toEqual({ form: 'tangent', radius: expect.closeTo(3.175, 9) })
    expect(pin?.oilHoles[0]).toMatchObject({ angleDeg: 60, mouthAround: expect.closeTo(7.9375, 9), mouthAlong: expect.closeTo(10.0076, 9) })
    expect(pin?.oilHoles[0]?.axial).toBeCloseTo(30.1625 / 2, 9)
    expect(pin?.coating.kind).toBe('suspected')
    expect(journals[0]?.journal.diameter).toBeCloseTo(63.5, 9)
    expect(shaft.cut?.standard.pin?.[0]).toBeCloseTo(60.2742, 9)
    expect(errors).toEqual([])
    await context.close()
  })

  it('by the keyboard alone', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/new`)
    await page.getByLabel('Work order').focus()
    await page.keyboard.type('K1')
    await page.keyboard.press('Tab')
    await page.keyboard.type('Keyboard only')
    await page.keyboard.press('Tab') // count
    await page.keyboard.press('Tab') // cylinders, at 4
    await page.keyboard.press('Home')
    await page.getByText('2 mains, 1 pin').waitFor()
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('1')
    await page.keyboard.press('Tab') // throws
    await page.keyboard.press('Tab') // pins or mains
    await page.keyboard.press('Tab')
    await page.keyboard.type('50')
    await page.keyboard.press('Tab')
    await page.keyboard.type('30')
    await page.keyboard.press('Tab') // ends alike
    await page.keyboard.press('Tab') // fillet, undercut, step
    await page.keyboard.press('End')
    for (let field = 0; field < 40; field += 1) {
      const words = await page.evaluate(() => document.activeElement?.textContent ?? '')
      if (words.startsWith('Next: mains')) break
      await page.keyboard.press('Tab')
    }
    await page.keyboard.press('Enter')
    await page.getByLabel('Diameter, as measured').focus()
    await page.keyboard.type('55')
    await page.keyboard.press('Tab')
    await page.keyboard.type('28')
    await page.keyboard.press('Tab')
    await page.keyboard.press('Tab')
    await page.keyboard.press('ArrowRight')
    await page.keyboard.press('Tab')
    await page.keyboard.type('2,5')
    await page.getByRole('button', { name: 'Put it on the bench' }).focus()
    await page.keyboard.press('Enter')
    await page.waitForURL(/\/sizes$/)
    const { journals } = await storedShaft(shaftIdIn(page))
    expect(journals.find((row) => row.journal.kind === 'pin')?.journal.fillets).toEqual({ front: { form: 'step' }, rear: { form: 'step' } })
    expect(journals.find((row) => row.journal.kind === 'main')?.journal.fillets.rear).toEqual({ form: 'undercut', width: 2.5 })
    await context.close()
  })

  it('with split pins gets sharp steps where two pins meet', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/new`, phone)
    await page.getByLabel('Work order').fill('V6')
    await page.getByRole('radiogroup', { name: 'Cylinders' }).getByRole('radio', { name: '6', exact: true }).click()
    await page.getByRole('radio', { name: 'split pins' }).click()
    await page.getByText('4 mains, 6 pins').waitFor()
    await fillLengths(page, { 'Diameter, as measured': '57', 'Width, cheek to cheek': '22', 'Fillet radius, both ends': '2.5' })
    await shoot(page, 'setup-new-phone')
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    await page.getByRole('button', { name: 'Next: mains' }).tap()
    await fillLengths(page, { 'Diameter, as measured': '63', 'Width, cheek to cheek': '24', 'Fillet radius, both ends': '2.5' })
    await page.getByRole('button', { name: 'Put it on the bench' }).tap()
    await page.waitForURL(/\/sizes$/)
    const { journals } = await storedShaft(shaftIdIn(page))
    const forms = journals.map(({ journal }) => `${journal.id} ${journal.fillets.front.form} ${journal.fillets.rear.form}`)
    expect(forms.slice(0, 4)).toEqual(['M1 tangent tangent', 'P1 tangent step', 'P2 step tangent', 'M2 tangent tangent'])
    await context.close()
  })

  it('is asked about an inch value typed in mm, and keeps it if told that it is right', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/new`)
    const diameter = page.getByLabel('Diameter, as measured')
    await diameter.fill('2.25')
    await page.keyboard.press('Tab')
    await page.getByText('Did you mean 57.150 mm, which is 2.2500 in?').waitFor()
    await shoot(page, 'setup-question-desk')
    expect(await violations(page)).toEqual([])
    await page.getByRole('button', { name: 'Use 57.150 mm' }).click()
    expect(await diameter.inputValue()).toBe('57.150')
    await diameter.fill('12')
    await page.keyboard.press('Tab')
    await page.getByRole('button', { name: 'It is right' }).click()
    expect(await diameter.inputValue()).toBe('12.000')
    expect(await page.getByRole('button', { name: 'It is right' }).count()).toBe(0)
    await context.close()
  })

  it('names what cannot be at its field at once, and what is missing when it is to go on', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/new`)
    await fillLengths(page, { 'Diameter, as measured': '57', 'Width, cheek to cheek': '5', 'Fillet radius, both ends': '3' })
    await page.getByText('The journal is 5 mm wide, its two ends take 6 mm.').waitFor()
    await shoot(page, 'setup-fault-desk')
    expect(await violations(page)).toEqual([])
    await page.getByRole('radio', { name: 'inch' }).click()
    await page.getByLabel('Width, cheek to cheek').fill('1.2')
    await page.getByRole('button', { name: 'Next: mains' }).click()
    await fillLengths(page, { 'Diameter, as measured': '2.5', 'Width, cheek to cheek': 'wide', 'Fillet radius, both ends': '1/8' })
    await page.keyboard.press('Tab')
    await page.getByText('“wide” is not a length. Type a number such as 2.250 or 2 1/4.').waitFor()
    await page.getByRole('button', { name: 'Put it on the bench' }).click()
    await page.getByText('Type what the tag is filed under.').waitFor()
    expect(await page.getByLabel('Work order').evaluate((field) => field === document.activeElement)).toBe(true)
    expect(new URL(page.url()).pathname).toBe('/shafts/new')
    await context.close()
  })

  it('is kept on the device until it is on the bench, and the server away loses nothing of it', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/new`)
    await page.getByLabel('Work order').fill('F7')
    await page.getByRole('radio', { name: 'journal by journal' }).click()
    await fillLengths(page, { 'Diameter, as measured': '57', 'Width, cheek to cheek': '30', 'Fillet radius, both ends': '3' })
    await page.reload()
    await expect.poll(() => page.getByLabel('Work order').inputValue()).toBe('F7')
    expect(await page.getByLabel('Width, cheek to cheek').inputValue()).toBe('30.00')
    for (const name of ['M5', 'P4', 'M4', 'P3', 'M3', 'P2', 'M2', 'M1'])
      await page.getByRole('button', { name: `Take ${name} out` }).click()
    await page.getByText('0 mains, 1 pin').waitFor()
    await own.program.stop()
    await page.getByRole('button', { name: 'Put it on the bench' }).click()
    await page.getByText('The shaft is not on the bench yet.').waitFor()
    await own.program.restart()
    await page.getByRole('button', { name: 'Put it on the bench' }).click()
    await page.waitForURL(/\/sizes$/)
    expect((await storedShaft(shaftIdIn(page))).journals.map((row) => row.journal.id)).toEqual(['P1'])
    await context.close()
  })
})

describe('a shaft on the bench', () => {
  it.each([
    ['desk', desk],
    ['phone', phone],
  ] as const)('shows its set-up without breaking a rule of accessibility, at the %s', async (place, options) => {
    const { context, page, errors } = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`, options)
    await page.getByRole('radio', { name: 'Pin 3', exact: true }).click()
    await page.getByRole('heading', { name: 'Pin 3', exact: true }).waitFor()
    await shoot(page, `setup-${place}`)
    expect(await violations(page)).toEqual([])
    expect(await tooSmall(page)).toEqual([])
    expect(await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth)).toBe(0)
    expect(errors).toEqual([])
    await context.close()
  })

  it('saves one pin’s exception by itself, and a change to all pins leaves it', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    await page.getByRole('radio', { name: 'Pin 2', exact: true }).click()
    await page.getByLabel('Angle from zero').fill('200')
    await page.getByRole('radio', { name: 'all 4 pins' }).click()
    await page.getByLabel('Fillet radius, both ends').fill('3.8')
    await expect
      .poll(async () => (await storedShaft(workedShaft)).journals.find((row) => row.journal.id === 'P4')?.journal.fillets.rear)
      .toMatchObject({
        radius: 3.8,
      })
    const { journals } = await storedShaft(workedShaft)
    const pins = journals.filter((row) => row.journal.kind === 'pin').map((row) => row.journal)
    expect(pins.map((pin) => pin.oilHoles[0]?.angleDeg)).toEqual([196, 200, 196, 196.5])
    expect(pins.every((pin) => pin.fillets.front.form === 'tangent' && pin.fillets.front.radius === 3.8)).toBe(true)
    await context.close()
  })

  it('holds back a size with which a reading would no longer lie on the journal, and says so', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    const before = (await storedShaft(workedShaft)).journals.find((row) => row.journal.id === 'M1')?.journal.width
    await page.getByLabel('Width, cheek to cheek').fill('20')
    await page.getByText('Main 1 is not saved: with this, something would no longer lie on it.').waitFor()
    await page
      .getByText(/^Reading: .*lies off the journal/)
      .first()
      .waitFor()
    await shoot(page, 'setup-held-desk')
    expect((await storedShaft(workedShaft)).journals.find((row) => row.journal.id === 'M1')?.journal.width).toBe(before)
    await page.getByRole('button', { name: 'Put the sizes back' }).click()
    expect(await page.getByLabel('Width, cheek to cheek').inputValue()).toBe('34.00')
    await context.close()
  })

  it('gets a journal more, loses one and has it put back with all that hangs on it', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    await page.getByRole('radio', { name: 'Pin 1', exact: true }).click()
    await page.getByRole('button', { name: 'Add a pin after P1' }).click()
    await page.getByRole('radio', { name: 'Pin 5', exact: true }).waitFor()
    expect((await storedShaft(workedShaft)).journals.map((row) => row.journal.id).slice(0, 4)).toEqual(['M1', 'P1', 'P5', 'M2'])
    await page.getByRole('button', { name: 'Take P1 out' }).click()
    await page.getByText('Pin 1 is gone, with its photographs, marks and readings.').waitFor()
    const without = await storedShaft(workedShaft)
    expect(without.marks.filter((row) => row.mark.journalId === 'P1')).toHaveLength(0)
    await page.getByRole('button', { name: 'Put it back' }).click()
    await page.getByRole('radio', { name: 'Pin 1', exact: true }).waitFor()
    const again = await storedShaft(workedShaft)
    expect(again.marks.filter((row) => row.mark.journalId === 'P1')).toHaveLength(3)
    expect(again.photos.filter((row) => row.photo.journalId === 'P1').length).toBeGreaterThan(0)
    await context.close()
  })

  it('keeps what was typed while the server was away, also over a reload, and saves it when it is back', async () => {
    const { context, page } = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    await page.getByLabel('What the tag says').waitFor()
    await own.program.stop()
    await page.getByLabel('What the tag says').fill('Typed while away')
    await page.getByText('Not saved yet: the server does not answer.').waitFor()
    await shoot(page, 'setup-away-desk')
    expect(await violations(page)).toEqual([])
    await own.program.restart()
    await page.reload()
    await page.getByLabel('What the tag says').waitFor()
    await expect.poll(async () => (await storedShaft(workedShaft)).shaft.shaft.label, { timeout: 30_000 }).toBe('Typed while away')
    await expect.poll(() => page.getByText('Not saved yet').count()).toBe(0)
    expect(await page.getByLabel('What the tag says').inputValue()).toBe('Typed while away')
    await context.close()
  })

  it('changed in two windows shows both versions and loses neither', async () => {
    const first = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    const second = await openPage(own.browser, `${own.program.url}/shafts/${workedShaft}/setup`)
    await first.page.getByLabel('Diameter, as measured').fill('83.4')
    await expect.poll(async () => (await storedShaft(workedShaft)).journals[0]?.journal.diameter).toBe(83.4)
    await second.page.getByLabel('Diameter, as measured').fill('83.3')
    await second.page.getByText('Main 1 was changed in another window').waitFor()
    await second.page.getByText('See both').click()
    const seen = second.page.getByRole('row', { name: /diameter/ })
    expect(await seen.textContent()).toMatch(/83\.3.*83\.4/)
    await shoot(second.page, 'setup-two-windows')
    expect(await violations(second.page)).toEqual([])
    expect((await storedShaft(workedShaft)).journals[0]?.journal.diameter).toBe(83.4)
    await second.page.getByRole('button', { name: 'Keep mine' }).click()
    await expect.poll(async () => (await storedShaft(workedShaft)).journals[0]?.journal.diameter).toBe(83.3)
    await first.context.close()
    await second.context.close()
  })
})

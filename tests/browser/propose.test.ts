/** Handles that the program proposes on the fit screen: seen, mended, accepted, rejected; nothing counts before it is accepted. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { jpegOf } from '../fixtures/render/picture'
import { shopSet } from '../fixtures/render/shop-set'
import { violations } from './accessibility'
import { dragOnto, onWhole, shaftOf, stored, whole } from './bench-drive'
import { type Browser, desk, openBrowser, openPage, type Program, phone, shoot, startProgram } from './harness'

let browser: Browser
let program: Program
let journal: Parameters<typeof shaftOf>[1]['journal']
let jpeg: Buffer
let size: { width: number; height: number }
beforeAll(async () => {
  program = await startProgram()
  browser = await openBrowser()
  const set = shopSet(5, { photos: 3, closeUps: 0, ultraviolet: 1, scale: 0.5 })
  const picture = set.picture('ph3')
  size = picture
  jpeg = await jpegOf(picture)
  const { oilHoles, ...rest } = set.inspection.journals[0]
  journal = { ...rest, id: 'P1', oilHoles: oilHoles.map((hole) => ({ ...hole, tiltDeg: 0 })) }
})
afterAll(async () => {
  await browser?.close()
  await program?.dispose()
})

const photoLabel = /^Photograph/
const handlesOf = async (id: string) => (await stored(program, id)).photos[0]?.photo.handles
const pointsOf = async (id: string) => {
  const handles = await handlesOf(id)
  return handles ? handles.sides.flat().length + handles.rings.flatMap((ring) => ring.points).length + handles.oilHoles.length : -1
}

/** A shaft with one photograph and no handles, its fit screen open. */
async function fitScreen(size: typeof desk) {
  const id = await shaftOf(program, { journal } as Parameters<typeof shaftOf>[1])
  const row = crypto.randomUUID()
  const sent = await fetch(`${program.url}/api/shafts/${id}/photos?journalId=P1&file=pin.jpg&id=${row}`, {
    method: 'POST',
    body: new Uint8Array(jpeg),
  })
  expect(sent.status).toBe(201)
  return { id, ...(await openPage(browser, `${program.url}/shafts/${id}/fit/${row}`, size)) }
}

describe('proposed handles', () => {
  it('appear by themselves, count only when accepted, and can then be mended by dragging', async () => {
    const { id, context, page, errors } = await fitScreen(desk)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    expect(await pointsOf(id)).toBe(0)
    expect(await violations(page)).toEqual([])
    await shoot(page, 'fit-proposed-desk')
    await page.getByRole('button', { name: 'Accept the proposal' }).focus()
    await page.keyboard.press('Enter')
    await expect.poll(() => pointsOf(id)).toBeGreaterThan(10)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor({ state: 'detached' })
    const before = await handlesOf(id)
    const [u, v] = before?.sides[0][0] ?? [0, 0]
    await whole(page, photoLabel)
    const at = (await onWhole(page, photoLabel, size))(u, v)
    await page.keyboard.down('Alt')
    await page.mouse.move(at.x, at.y)
    await page.mouse.down()
    await page.mouse.move(at.x + 20, at.y + 4)
    await page.mouse.up()
    await page.keyboard.up('Alt')
    await expect.poll(async () => JSON.stringify((await handlesOf(id))?.sides[0])).not.toBe(JSON.stringify(before?.sides[0]))
    expect(errors).toEqual([])
    await context.close()
  })

  it('rejected, nothing of it is kept', async () => {
    const { id, context, page, errors } = await fitScreen(desk)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    await page.getByRole('button', { name: 'Reject it' }).click()
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor({ state: 'detached' })
    expect(await pointsOf(id)).toBe(0)
    await page.getByRole('button', { name: /^(Left|Upper) side/ }).click()
    await dragOnto(page, (await onWhole(page, photoLabel, size))(size.width / 2, size.height / 2))
    await expect.poll(() => pointsOf(id)).toBe(1)
    expect(errors).toEqual([])
    await context.close()
  })

  it('on a phone: accepted with one tap', async () => {
    const { id, context, page, errors } = await fitScreen(phone)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    await shoot(page, 'fit-proposed-phone')
    await page.getByRole('button', { name: 'Accept the proposal' }).tap()
    await expect.poll(() => pointsOf(id)).toBeGreaterThan(10)
    expect(errors).toEqual([])
    await context.close()
  })
})

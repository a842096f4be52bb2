/** On the rollout of a rendered photograph: a crack traced between two taps, and marks suggested, accepted and rejected by keys. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { randomCase } from '../fixtures/render/cases'
import { violations } from './accessibility'
import { onWhole, pressAt, type RenderedPin, renderedPin, shaftOf, stored, whole } from './bench-drive'
import { type Browser, desk, openBrowser, openPage, type Page, type Program, shoot, startProgram } from './harness'

let browser: Browser
let program: Program
let pin: RenderedPin
beforeAll(async () => {
  program = await startProgram()
  browser = await openBrowser()
  pin = await renderedPin()
})
afterAll(async () => {
  await browser?.close()
  await program?.dispose()
})

/** The line that was drawn on the rendered pin, on its map. */
const drawn = () => randomCase(31, { width: 1000, height: 750, noisePx: 0.05, marks: 1 }).lines[0].vertices

async function fittedShaft(): Promise<string> {
  const id = await shaftOf(program, pin)
  const sent = await fetch(`${program.url}/api/shafts/${id}/photos?journalId=P1&file=pin.jpg&id=${crypto.randomUUID()}`, {
    method: 'POST',
    body: new Uint8Array(pin.jpeg),
  })
  const row = (await sent.json()) as { id: string; version: number; photo: object }
  const { handles, focalPx } = pin.photo
  const edits = [{ op: 'update', kind: 'photo', id: row.id, version: row.version, value: { ...row.photo, handles, focalPx } }]
  const edited = await fetch(`${program.url}/api/shafts/${id}/edits`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ edits }),
  })
  expect(edited.status, await edited.clone().text()).toBe(200)
  return id
}

/** Presses on map places, the whole turn being shown. */
async function pressOnMap(page: Page, places: readonly { theta: number; s: number }[]) {
  const { diameter, width, fillets } = pin.journal
  const arc = (end: typeof fillets.front) => (end.form === 'tangent' ? end.radius * (Math.PI / 2 - 1) : 0)
  const content = { width: Math.PI * diameter, height: width + arc(fillets.front) + arc(fillets.rear) }
  const at = await onWhole(page, /^Rollout/, content)
  for (const { theta, s } of places) await pressAt(page, at((theta / (2 * Math.PI)) * content.width, content.height - s))
}

const marksOf = async (id: string) => (await stored(program, id)).marks.map(({ mark }) => mark)

describe('the rollout helps to draw marks', () => {
  it('follows a crack between two taps', async () => {
    const id = await fittedShaft()
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await page.getByRole('button', { name: 'Look for marks in the photographs' }).waitFor()
    // it may be laid out before one looks
    const layingOut = page.getByText('Laying out')
    await layingOut.waitFor({ timeout: 3000 }).catch(() => undefined)
    await layingOut.waitFor({ state: 'detached' })
    await page.getByRole('application', { name: /^Rollout/ }).focus()
    await page.keyboard.press('6')
    const line = drawn()
    await pressOnMap(page, [line[0], line[line.length - 1]])
    await page.waitForTimeout(4000)
    await shoot(page, 'trace')
    await page.keyboard.press('Enter')
    await expect.poll(async () => (await marksOf(id)).length).toBe(1)
    const [mark] = await marksOf(id)
    const points = (mark.points ?? []).map((point) => ({
      x: (point.angleDeg * Math.PI * pin.journal.diameter) / 360,
      s: 's' in point ? point.s : 0,
    }))
    expect(points.length).toBeGreaterThan(2)
    for (const { theta, s } of line.slice(1, -1)) {
      const x = (theta * pin.journal.diameter) / 2
      const nearest = Math.min(...points.flatMap((point, i) => (i === 0 ? [] : [offStretch(x, s, points[i - 1], point)])))
      expect(nearest).toBeLessThan(0.3)
    }
    expect(errors).toEqual([])
    await context.close()
  })

  it('suggests marks that are nothing until they are accepted', async () => {
    const id = await fittedShaft()
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await page.getByRole('button', { name: 'Look for marks in the photographs' }).click()
    const first = page.getByRole('button', { name: /^Suggestion 1, score/ })
    await first.waitFor({ timeout: 60_000 })
    await page.getByText('what is not suggested may still be there', { exact: false }).first().waitFor()
    expect(await marksOf(id)).toHaveLength(0)
    await shoot(page, 'suggestions')
    expect(await violations(page)).toEqual([])
    const open = await page.getByRole('button', { name: /^Suggestion \d+, score/ }).count()
    await first.click()
    await page.getByRole('heading', { name: 'Close view, suggestion 1' }).waitFor()
    await page.keyboard.press('a')
    await expect.poll(async () => (await marksOf(id)).length).toBe(1)
    if (open > 1) {
      // the focus goes on to the next one by itself
      await expect.poll(() => page.evaluate(() => document.activeElement?.textContent ?? '')).toMatch(/^Suggestion 1, score/)
      await page.keyboard.press('r')
    }
    await expect.poll(() => page.getByRole('button', { name: /^Suggestion \d+, score/ }).count()).toBe(Math.max(0, open - 2))
    expect(await marksOf(id)).toHaveLength(1)
    expect(errors).toEqual([])
    await context.close()
  })

  it('a vertex set beside a drawn line catches it, and stays where it is put while Alt is held', async () => {
    const id = await fittedShaft()
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    const label = /^Photograph/
    await whole(page, label)
    await page.waitForTimeout(1000)
    const at = await onWhole(page, label, pin.photo)
    // 3.2 px beside the middles of two stretches
    const stretches = [pin.pixels.slice(0, 2), pin.pixels.slice(3, 5)]
    const beside = stretches.map(([[ax, ay], [bx, by]]) => {
      const long = Math.hypot(bx - ax, by - ay)
      return at((ax + bx) / 2 - (3.2 * (by - ay)) / long, (ay + by) / 2 + (3.2 * (bx - ax)) / long)
    })
    const draw = async (alt: boolean) => {
      if (alt) await page.keyboard.down('Alt')
      for (const place of beside) await pressAt(page, place)
      if (alt) await page.keyboard.up('Alt')
      await page.keyboard.press('Enter')
    }
    const offLine = async () =>
      ((await marksOf(id)).at(-1)?.pixels ?? []).map(([x, y], i) => {
        const [[ax, ay], [bx, by]] = stretches[i]
        return offStretch(x, y, { x: ax, s: ay }, { x: bx, s: by })
      })
    await draw(false)
    await expect.poll(async () => (await marksOf(id)).length).toBe(1)
    for (const off of await offLine()) expect(off).toBeLessThan(1)
    await draw(true)
    await expect.poll(async () => (await marksOf(id)).length).toBe(2)
    for (const off of await offLine()) expect(off).toBeGreaterThan(2.2)
    expect(errors).toEqual([])
    await context.close()
  })
})

function offStretch(x: number, s: number, a: { x: number; s: number }, b: { x: number; s: number }): number {
  const square = (b.x - a.x) ** 2 + (b.s - a.s) ** 2
  const t = square > 0 ? Math.min(1, Math.max(0, ((x - a.x) * (b.x - a.x) + (s - a.s) * (b.s - a.s)) / square)) : 0
  return Math.hypot(x - a.x - t * (b.x - a.x), s - a.s - t * (b.s - a.s))
}

/** The main job in a real browser on a rendered photograph: taken in, fitted by hand, marked on photograph and map, judged, kept. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Findings } from '../../lib/model/findings'
import { violations } from './accessibility'
import { dragOnto, onWhole, pressAt, type RenderedPin, renderedPin, shaftOf, stored, whole } from './bench-drive'
import { type Browser, desk, openBrowser, openPage, type Page, type Program, phone, shoot, startProgram, touchDrag } from './harness'

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

const photoLabel = /^Photograph/
const mapLabel = /^Rollout/
const jpeg = () => ({ name: 'pin.jpg', mimeType: 'image/jpeg', buffer: pin.jpeg })

/** Sets every true handle by pressing beside it and dragging onto it. */
async function fitByHand(page: Page) {
  // what the program proposes is put aside, and Alt keeps points from catching edges: the truth is to the pixel
  await page.getByText('Looking for the journal').waitFor({ state: 'detached' })
  const reject = page.getByRole('button', { name: 'Reject it' })
  if (await reject.isVisible()) await reject.click()
  const steps = page.getByRole('list', { name: 'Steps of the fit' }).getByRole('button')
  const { sides, rings, oilHoles } = pin.photo.handles
  const [rear, front] = ['rear-fillet', 'front-fillet'].map((at) => rings.find((ring) => ring.at === at)?.points ?? [])
  const places = [sides[0], sides[1], rear ?? [], front ?? [], oilHoles.map((hole) => hole.center)]
  for (const [index, points] of places.entries()) {
    await steps.nth(index).click()
    for (const [u, v] of points) {
      const at = await onWhole(page, photoLabel, pin.photo)
      await page.keyboard.down('Alt')
      await dragOnto(page, at(u, v))
      await page.keyboard.up('Alt')
    }
  }
}

/** A shaft with its photograph uploaded over HTTP and fitted as picked. */
async function fittedShaft(): Promise<string> {
  const id = await shaftOf(program, pin)
  const sent = await fetch(`${program.url}/api/shafts/${id}/photos?journalId=P1&file=pin.jpg&id=${crypto.randomUUID()}`, {
    method: 'POST',
    body: new Uint8Array(pin.jpeg),
  })
  expect(sent.status).toBe(201)
  const row = (await sent.json()) as { id: string; version: number; photo: object }
  const edits = [
    {
      op: 'update',
      kind: 'photo',
      id: row.id,
      version: row.version,
      value: { ...row.photo, handles: pin.photo.handles, focalPx: pin.photo.focalPx },
    },
  ]
  const edited = await fetch(`${program.url}/api/shafts/${id}/edits`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ edits }),
  })
  expect(edited.status, await edited.clone().text()).toBe(200)
  return id
}

async function drawOnMap(page: Page, from: { angleDeg: number; s: number }, to: { angleDeg: number; s: number }) {
  const { diameter, width, fillets } = pin.journal
  const arc = (end: typeof fillets.front) => (end.form === 'tangent' ? end.radius * (Math.PI / 2 - 1) : 0)
  const content = { width: Math.PI * diameter, height: width + arc(fillets.front) + arc(fillets.rear) }
  const at = await onWhole(page, mapLabel, content)
  for (const { angleDeg, s } of [from, to]) await pressAt(page, at((angleDeg / 360) * content.width, content.height - s))
}

const markCount = async (id: string) => (await stored(program, id)).marks.length
const openTag = (page: Page, letter: string) => page.getByRole('button', { name: new RegExp(`^${letter} (Treat|Hold|Record)`) })

describe('the whole job at a desk', () => {
  it('photograph, fit, mark on the photograph and on the map, finding, undo, reload', async () => {
    const id = await shaftOf(program, pin)
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await page.getByText('No photograph yet').first().waitFor()
    await page.getByText('Nothing recorded on pin 1.').waitFor()

    await page
      .getByLabel('Photographs to add')
      .setInputFiles([jpeg(), { name: 'letter.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('not a picture at all') }])
    await page.getByText('This picture was not taken in: letter.jpg').waitFor()
    await page.getByRole('button', { name: 'Fit this photograph' }).click()
    await shoot(page, 'bench-fit-empty-desk')
    await page.getByText('Nothing is placed yet').waitFor()
    await fitByHand(page)
    await page.getByText('The fit is good').waitFor()
    await shoot(page, 'bench-fit-desk')
    await page.getByText(/^Angle ±\s.*: /).waitFor()

    const inked = async () => (await stored(program, id)).photos[0]?.photo.handles.rings.filter((ring) => typeof ring.at === 'number')
    await page.getByRole('button', { name: /^Inked ring/ }).click()
    const middle = (await onWhole(page, photoLabel, pin.photo))(pin.photo.width / 2, pin.photo.height / 2)
    await pressAt(page, middle)
    await page.getByText('No point was set.').waitFor()
    await page.getByLabel('Ring, from the front cheek').fill('12.5')
    await pressAt(page, middle)
    await expect.poll(async () => (await inked())?.map((ring) => [ring.at, ring.points.length])).toEqual([[12.5, 1]])
    await page.getByRole('button', { name: 'Drop point' }).click()
    await expect.poll(inked).toEqual([])

    await page.getByRole('button', { name: /^Witness mark/ }).click()
    await page.getByRole('button', { name: 'Done: back to pin 1' }).click()

    await whole(page, photoLabel)
    for (const [u, v] of pin.pixels) await pressAt(page, (await onWhole(page, photoLabel, pin.photo))(u, v))
    await page.getByRole('button', { name: 'Keep mark a' }).click()
    await openTag(page, 'a').waitFor()
    const angle = Number.parseFloat(
      (await page
        .getByRole('row', { name: /Angle to the shaft/ })
        .getByRole('cell')
        .textContent()) ?? '',
    )
    expect(angle).toBeGreaterThan(Math.abs(pin.truth.signedAngleDeg) - 3)
    expect(angle).toBeLessThan(Math.abs(pin.truth.signedAngleDeg) + 3)
    await shoot(page, 'bench-marked-desk')

    await drawOnMap(page, { angleDeg: 100, s: 12 }, { angleDeg: 100, s: 22 })
    await page.keyboard.press('Enter')
    await openTag(page, 'b').waitFor()
    await expect.poll(() => markCount(id)).toBe(2)
    await page.getByRole('button', { name: 'Undo: Draw mark b' }).click()
    await openTag(page, 'b').waitFor({ state: 'detached' })
    await expect.poll(() => markCount(id)).toBe(1)
    await page.getByRole('button', { name: 'Redo: Draw mark b' }).click()
    await expect.poll(() => markCount(id)).toBe(2)
    expect(await violations(page)).toEqual([])

    await page.reload()
    await openTag(page, 'a').waitFor()
    await openTag(page, 'b').waitFor()
    const findings = (await (await fetch(`${program.url}/api/shafts/${id}/findings`)).json()) as Findings
    expect(findings.photos[0]?.trusted).toBe(true)
    expect(findings.marks).toHaveLength(2)
    expect(errors.filter((error) => !error.includes('415'))).toEqual([])
    await context.close()
  })

  it('Escape gives a line up, a mark removed can be put back, and a handle dragged off the photograph is held at its edge', async () => {
    const id = await fittedShaft()
    const { context, page } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await page.getByText('fit good').waitFor()
    await drawOnMap(page, { angleDeg: 40, s: 12 }, { angleDeg: 60, s: 18 })
    await page.keyboard.press('Escape')
    await page.getByText('Press on the map or the photograph').waitFor()
    expect(await markCount(id)).toBe(0)

    await drawOnMap(page, { angleDeg: 40, s: 12 }, { angleDeg: 60, s: 18 })
    await page.keyboard.press('Enter')
    await page.getByRole('button', { name: 'Remove mark a' }).click()
    await page.getByText('Mark a is gone.').waitFor()
    await expect.poll(() => markCount(id)).toBe(0)
    await page.getByRole('button', { name: 'Put it back' }).click()
    await openTag(page, 'a').waitFor()
    await expect.poll(() => markCount(id)).toBe(1)

    await page.getByRole('button', { name: 'Look at the fit' }).click()
    await whole(page, photoLabel)
    const at = await onWhole(page, photoLabel, pin.photo)
    const [u, v] = pin.photo.handles.sides[0][0] ?? [0, 0]
    await page.mouse.move(at(u, v).x, at(u, v).y)
    await page.mouse.down()
    await page.mouse.move(at(-300, v).x, at(-300, v).y)
    await page.getByText('The point has left the photograph.').waitFor()
    await page.mouse.up()
    await expect.poll(async () => (await stored(program, id)).photos[0]?.photo.handles.sides[0][0]?.[0]).toBe(0)
    await context.close()
  })
})

describe('two windows on one journal', () => {
  it('the second gets what the first changed, and loses none of its own input', async () => {
    const id = await fittedShaft()
    const first = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await drawOnMap(first.page, { angleDeg: 40, s: 12 }, { angleDeg: 60, s: 18 })
    await first.page.keyboard.press('Enter')
    await expect.poll(() => markCount(id)).toBe(1)
    const second = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await openTag(second.page, 'a').click()
    await first.page.getByRole('radio', { name: 'Catches' }).click()
    await second.page.getByRole('radio', { name: 'Catches', checked: true }).waitFor()

    // the second types while it cannot reach the server; the first changes the same mark meanwhile
    await second.context.route('**/api/**', (route) => route.abort())
    await second.page.getByRole('textbox', { name: 'Note' }).fill('seen under the lamp')
    await second.page.getByRole('textbox', { name: 'Note' }).blur()
    await second.page.getByText('Not saved yet').waitFor()
    await first.page.getByRole('radio', { name: 'Smooth' }).click()
    await expect.poll(async () => (await stored(program, id)).marks[0]?.mark.feel).toBe('smooth')
    await second.context.unroute('**/api/**')
    await second.page.getByText('Mark a was changed in another window').waitFor()
    expect(await second.page.getByRole('textbox', { name: 'Note' }).inputValue()).toBe('seen under the lamp')
    await second.page.getByRole('button', { name: 'Keep both' }).click()
    await expect
      .poll(async () => (await stored(program, id)).marks.map(({ mark }) => [mark.id, mark.feel, mark.note ?? '']))
      .toEqual([
        ['P1-a', 'smooth', ''],
        ['P1-b', 'catches', 'seen under the lamp'],
      ])
    await first.context.close()
    await second.context.close()
  })
})

describe('a server that stops answering', () => {
  it('the page says so, keeps the edit even when its window is closed, and saves when it is back', async () => {
    const id = await fittedShaft()
    const { context, page } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await page.getByText('fit good').waitFor()
    await program.stop()
    await drawOnMap(page, { angleDeg: 40, s: 12 }, { angleDeg: 60, s: 18 })
    await page.keyboard.press('Enter')
    await page.getByText('Not saved yet: the server does not answer.').waitFor()
    await openTag(page, 'a').waitFor()
    await shoot(page, 'bench-server-away-desk')
    await program.restart()
    await page.getByText('Not saved yet').waitFor({ state: 'detached' })
    await expect.poll(() => markCount(id)).toBe(1)

    await program.stop()
    await drawOnMap(page, { angleDeg: 140, s: 12 }, { angleDeg: 160, s: 18 })
    await page.keyboard.press('Enter')
    await page.getByText('Not saved yet').waitFor()
    await page.close({ runBeforeUnload: false })
    await program.restart()
    const again = await context.newPage()
    await again.goto(`${program.url}/shafts/${id}/bench`)
    await openTag(again, 'b').waitFor()
    await expect.poll(() => markCount(id)).toBe(2)
    await context.close()
  })
})

describe('exported and imported again', () => {
  it('the bundle gives the same findings to the last digit', async () => {
    const id = await fittedShaft()
    const { context, page } = await openPage(browser, `${program.url}/shafts/${id}/bench`, desk)
    await drawOnMap(page, { angleDeg: 40, s: 12 }, { angleDeg: 60, s: 18 })
    await page.keyboard.press('Enter')
    await expect.poll(() => markCount(id)).toBe(1)
    await page.getByRole('link', { name: 'Findings', exact: true }).click()
    const loading = page.waitForEvent('download')
    await page.getByRole('link', { name: /^Bundle/ }).click()
    const bundle = await (await loading).createReadStream()
    const chunks: Buffer[] = []
    for await (const chunk of bundle) chunks.push(chunk as Buffer)
    const copy = crypto.randomUUID()
    const taken = await fetch(`${program.url}/api/imports?id=${copy}`, { method: 'POST', body: new Uint8Array(Buffer.concat(chunks)) })
    expect(taken.status, await taken.clone().text()).toBe(201)
    const findingsOf = async (shaft: string) => (await fetch(`${program.url}/api/shafts/${shaft}/findings`)).json()
    expect(await findingsOf(copy)).toEqual(await findingsOf(id))
    await context.close()
  })
})

describe('on a phone', () => {
  it('a handle is set with the scriber, a mark drawn on the rollout with one finger, and kept with the thumb', async () => {
    const id = await fittedShaft()
    const { context, page, errors } = await openPage(browser, `${program.url}/shafts/${id}/bench`, phone)
    await page.getByRole('radio', { name: 'Rollout' }).click()
    await page.getByRole('application', { name: mapLabel }).waitFor()
    const box = await page.getByRole('application', { name: mapLabel }).boundingBox()
    if (!box) throw new Error('no rollout')
    const { x, y, width, height } = box
    await touchDrag(page, [
      { x: x + width * 0.5, y: y + height * 0.5 },
      { x: x + width * 0.5, y: y + height * 0.55 },
    ])
    await page.getByRole('button', { name: '1 more point' }).waitFor()
    await touchDrag(page, [
      { x: x + width * 0.7, y: y + height * 0.75 },
      { x: x + width * 0.72, y: y + height * 0.8 },
    ])
    await page.getByRole('button', { name: 'Keep mark a' }).waitFor()
    await page.getByText('To the shaft', { exact: true }).waitFor()
    // right behind a drag that ended in motion
    await page.getByRole('button', { name: 'Keep mark a' }).tap()
    await expect.poll(() => markCount(id)).toBe(1)
    await page.getByText('To the shaft', { exact: true }).waitFor()
    await shoot(page, 'bench-phone')
    expect(await violations(page)).toEqual([])
    // two fingers move the picture and draw nothing
    const session = await context.newCDPSession(page)
    const fingers = (spread: number) => [
      { x: x + width / 2 - spread, y: y + height / 2 },
      { x: x + width / 2 + spread, y: y + height / 2 },
    ]
    await session.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: fingers(30) })
    await session.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: fingers(70) })
    await session.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] })
    await page.getByRole('link', { name: 'Findings', exact: true }).waitFor()
    expect(await markCount(id)).toBe(1)

    await page.getByRole('radio', { name: 'Photo' }).click()
    await page.getByRole('link', { name: 'Look at the fit' }).click()
    await page.waitForURL(/\/fit\//)
    await page.getByRole('button', { name: /^Rear ring/ }).click()
    const handles = async () => JSON.stringify((await stored(program, id)).photos[0]?.photo.handles)
    const before = await handles()
    expect(await violations(page)).toEqual([])
    const picture = await page.getByRole('application', { name: photoLabel }).boundingBox()
    if (!picture) throw new Error('no photograph')
    // far from where any handle belongs: the needle's point sets one, or takes one there
    await touchDrag(page, [
      { x: picture.x + 60, y: picture.y + picture.height - 40 },
      { x: picture.x + 64, y: picture.y + picture.height - 36 },
      { x: picture.x + 90, y: picture.y + picture.height - 20 },
    ])
    await expect.poll(handles).not.toBe(before)
    await page.getByText('Look again:', { exact: true }).waitFor()
    await shoot(page, 'bench-fit-phone')
    expect(errors).toEqual([])
    await context.close()
  })
})

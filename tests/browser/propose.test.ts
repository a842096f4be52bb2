/** Handles that the program proposes on the fit screen: seen, mended, accepted, rejected; nothing counts before it is accepted. */
import { beforeAll, describe, expect, it } from 'vitest'
import { surfaceOf } from '../../lib/journal/surface'
import type { Handles } from '../../lib/model/photo'
import type { Camera } from '../../lib/photo/camera'
import { outlineHandles } from '../../lib/photo/propose-curves'
import { asRotation } from '../fixtures/render/cases'
import { jpegOf } from '../fixtures/render/picture'
import { shopSet } from '../fixtures/render/shop-set'
import { violations } from './accessibility'
import { dragOnto, onWhole, shaftOf, stored, whole } from './bench-drive'
import { desk, openPage, phone, programInBrowser, shoot, touchDrag } from './harness'

const own = programInBrowser()
let journal: Parameters<typeof shaftOf>[1]['journal']
let jpeg: Buffer
let size: { width: number; height: number }
/** Where the sides and tangent lines truly are. */
let trueHandles: Handles
beforeAll(async () => {
  const set = shopSet(5, { photos: 3, closeUps: 0, ultraviolet: 1, scale: 0.5 })
  const picture = set.picture('ph3')
  size = picture
  jpeg = await jpegOf(picture)
  const { oilHoles, ...rest } = set.inspection.journals[0]
  journal = { ...rest, id: 'P1', oilHoles: oilHoles.map((hole) => ({ ...hole, tiltDeg: 0 })) }
  const camera = set.truth.photos.ph3.camera
  const seen = outlineHandles(surfaceOf(journal), { ...camera, ...asRotation(camera) } as unknown as Camera)
  if (!seen) throw new Error('the camera stands in the metal')
  trueHandles = seen
})

const photoLabel = /^Photograph/
const handlesOf = async (id: string) => (await stored(own.program, id)).photos[0]?.photo.handles
const pointsOf = async (id: string) => {
  const handles = await handlesOf(id)
  return handles ? handles.sides.flat().length + handles.rings.flatMap((ring) => ring.points).length + handles.oilHoles.length : -1
}

/** A shaft with one photograph and no handles, its fit screen open. */
async function fitScreen(size: typeof desk, of = journal) {
  const id = await shaftOf(own.program, { journal: of } as Parameters<typeof shaftOf>[1])
  const row = crypto.randomUUID()
  const sent = await fetch(`${own.program.url}/api/shafts/${id}/photos?journalId=P1&file=pin.jpg&id=${row}`, {
    method: 'POST',
    body: new Uint8Array(jpeg),
  })
  expect(sent.status).toBe(201)
  return { id, ...(await openPage(own.browser, `${own.program.url}/shafts/${id}/fit/${row}`, size)) }
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

  it('a proposed point that is dragged becomes the person’s own before the rest is accepted', async () => {
    const { id, context, page, errors } = await fitScreen(desk)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    await whole(page, photoLabel)
    const [u, v] = trueHandles.sides[0][2]
    const at = (await onWhole(page, photoLabel, size))(u, v)
    await page.keyboard.down('Alt')
    await page.mouse.move(at.x, at.y)
    await page.mouse.down()
    await page.mouse.move(at.x + 12, at.y + 3)
    await page.mouse.move(at.x + 24, at.y + 6)
    await page.mouse.up()
    await page.keyboard.up('Alt')
    await expect.poll(() => pointsOf(id)).toBe(1)
    const own = (await handlesOf(id))?.sides.flat()[0] ?? [0, 0]
    const put = (await onWhole(page, photoLabel, size))(own[0], own[1])
    expect(Math.hypot(put.x - at.x - 24, put.y - at.y - 6)).toBeLessThan(6)
    await page.getByRole('button', { name: 'Accept the proposal' }).click()
    await expect.poll(() => pointsOf(id)).toBeGreaterThan(10)
    // eleven of the twelve points of the sides were still the proposal’s
    const sides = (await handlesOf(id))?.sides.flat() ?? []
    expect(sides).toHaveLength(12)
    expect(sides).toContainEqual(own)
    expect(errors).toEqual([])
    await context.close()
  })

  it('with the front at the other end the rings change their names', async () => {
    const { id, context, page, errors } = await fitScreen(desk, { ...journal, oilHoles: [] })
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    await page.getByRole('button', { name: 'Front is the other end' }).click()
    await page.getByRole('button', { name: 'Accept the proposal' }).click()
    await expect.poll(() => pointsOf(id)).toBeGreaterThan(10)
    const rings = (await handlesOf(id))?.rings ?? []
    const place = (name: string) => {
      const points = rings.find(({ at }) => at === name)?.points ?? []
      return points.reduce((sum, [u, v]) => sum + (u + v) / points.length, 0)
    }
    expect(rings.map(({ at }) => at).sort()).toEqual(['front-fillet', 'rear-fillet'])
    // unasked, the front is taken to lie to the right or below
    expect(place('front-fillet')).toBeLessThan(place('rear-fillet'))
    expect(errors).toEqual([])
    await context.close()
  })

  it('on a phone: a finger that drags a side’s point catches the edge, one that rests lets it go', async () => {
    const { id, context, page, errors } = await fitScreen(phone)
    await page.getByRole('region', { name: 'Proposed handles' }).waitFor()
    await page.getByRole('button', { name: 'Accept the proposal' }).tap()
    await expect.poll(() => pointsOf(id)).toBeGreaterThan(10)
    await whole(page, photoLabel)
    const sides = (await handlesOf(id))?.sides ?? [[], []]
    const [u, v] = sides[0][3]
    const [before, after] = [sides[0][2], sides[0][4]]
    const along = Math.hypot(after[0] - before[0], after[1] - before[1])
    const across = [-(after[1] - before[1]) / along, (after[0] - before[0]) / along]
    const scale = (await onWhole(page, photoLabel, size))(1, 0).x - (await onWhole(page, photoLabel, size))(0, 0).x
    /** How far the point lies beside its side after a drag that ends 1.8 CSS px beside it: nearer than it catches, 14 px of a picture 2400 px wide. */
    const draggedBeside = async (restMs: number): Promise<number> => {
      const now = (await handlesOf(id))?.sides[0][3] ?? [0, 0]
      const from = (await onWhole(page, photoLabel, size))(now[0], now[1])
      const edge = (await onWhole(page, photoLabel, size))(u, v)
      const to = { x: edge.x + 1.8 * across[0], y: edge.y + 1.8 * across[1] }
      await touchDrag(page, [from, { x: from.x + 9 * across[0], y: from.y + 9 * across[1] }, to], restMs)
      await expect.poll(async () => JSON.stringify((await handlesOf(id))?.sides[0][3])).not.toBe(JSON.stringify(now))
      const [du, dv] = ((await handlesOf(id))?.sides[0][3] ?? [0, 0]).map((value, i) => value - [u, v][i])
      return (du * across[0] + dv * across[1]) * scale
    }
    expect(Math.abs(await draggedBeside(0))).toBeLessThan(0.7)
    expect(await draggedBeside(1200)).toBeGreaterThan(1.3)
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

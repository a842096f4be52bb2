/** Driving the bench: a rendered journal as a person would photograph it, and where its places lie on the screen. */
import { expect } from 'vitest'
import type { ShaftDocument } from '../../lib/model/rows'
import { randomCase } from '../fixtures/render/cases'
import { jpegOf, renderPicture } from '../fixtures/render/picture'
import type { Page, Program } from './harness'

export type Point = { x: number; y: number }

/** One rendered photograph with true handles, marks and numbers. 1000 x 750: on the screen about as large as in the file. */
export async function renderedPin() {
  const rendered = randomCase(31, { width: 1000, height: 750, noisePx: 0.05, marks: 1 })
  const [journal] = rendered.inspection.journals
  const [photo] = rendered.inspection.photos
  const [mark] = rendered.inspection.marks
  if (!journal || !photo || !mark?.pixels) throw new Error('the rendered case lacks a journal, a photo or a mark')
  const jpeg = await jpegOf(renderPicture(rendered.metal, rendered.camera, rendered.lines, { perPixel: 1 }))
  const truth = rendered.truth[mark.id]
  if (!truth) throw new Error('the rendered mark lacks its truth')
  return { journal: { ...journal, id: 'P1', kind: 'pin' as const }, photo, jpeg, pixels: mark.pixels, truth }
}

export type RenderedPin = Awaited<ReturnType<typeof renderedPin>>

/** A shaft of that one pin, put on the bench over HTTP. */
export async function shaftOf(program: Program, pin: RenderedPin): Promise<string> {
  const id = crypto.randomUUID()
  const answer = await fetch(`${program.url}/api/shafts`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      id,
      shaft: { id: `T${id.slice(0, 4)}`, label: 'A rendered pin' },
      journals: [{ id: crypto.randomUUID(), journal: pin.journal }],
    }),
  })
  expect(answer.status, await answer.clone().text()).toBe(201)
  return id
}

export async function stored(program: Program, id: string): Promise<ShaftDocument> {
  return (await fetch(`${program.url}/api/shafts/${id}`)).json() as Promise<ShaftDocument>
}

/** Where the content's place lies on the screen while the picture shows the whole of it, centred. */
export async function onWhole(
  page: Page,
  label: RegExp,
  content: { width: number; height: number },
): Promise<(x: number, y: number) => Point> {
  const canvas = page.getByRole('application', { name: label })
  await canvas.scrollIntoViewIfNeeded()
  const box = await canvas.boundingBox()
  if (!box) throw new Error(`no picture ${label}`)
  const scale = Math.min(box.width / content.width, box.height / content.height)
  const left = box.x + (box.width - content.width * scale) / 2
  const top = box.y + (box.height - content.height * scale) / 2
  return (x, y) => ({ x: left + x * scale, y: top + y * scale })
}

/** Goes as far out as the picture allows. */
export async function whole(page: Page, label: RegExp): Promise<void> {
  await page.getByRole('application', { name: label }).focus()
  for (let times = 0; times < 10; times++) await page.keyboard.press('-')
}

/** Presses a little beside the place, drags onto it, lets go. */
export async function dragOnto(page: Page, { x, y }: Point): Promise<void> {
  await page.mouse.move(x + 14, y + 9)
  await page.mouse.down()
  await page.mouse.move(x + 5, y + 3)
  await page.mouse.move(x, y)
  await page.mouse.up()
}

/** Presses on the place and lets go. */
export async function pressAt(page: Page, { x, y }: Point): Promise<void> {
  await page.mouse.move(x, y)
  await page.mouse.down()
  await page.mouse.up()
}

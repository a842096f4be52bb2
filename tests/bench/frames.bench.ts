/**
 * Whether the page keeps its frames while photographs are laid beside each other and rolled out: times between frames of the bench at rest and during
 * the work, in a browser without a graphics card: `npx tsx tests/bench/frames.bench.ts`, after `npm start` has built the pages. What counts is the
 * work beside rest, in the same run: a machine with two processors draws, rolls out and serves at once. Ten photographs from `all-round-journal.ts`.
 * The first laying out falls together with the page's own opening; so the map is laid out anew afterwards, by removing a photograph and putting it back.
 * With `emulated` as argument the browser has the graphics card of the other browser tests, played by the processor.
 */
import { randomUUID } from 'node:crypto'
import { readFile } from 'node:fs/promises'
import path from 'node:path'
import { zipSync } from 'fflate'
import { openBrowser, startProgram } from '../browser/harness'
import { allRoundJournal } from './all-round-journal'

type Frame = { at: number; ms: number; doing: string }
type Watched = { watched: { frames: Frame[]; blocked: Frame[]; phase: string } }

/** In the page: every time between two frames, every task of the main thread over 50 ms, and what the page says it is doing. */
function watch(): void {
  const watched: Watched['watched'] = { frames: [], blocked: [], phase: 'rest' }
  Object.assign(globalThis, { watched })
  const doing = () =>
    globalThis.document
      .querySelector('[role=progressbar]')
      ?.getAttribute('aria-label')
      ?.replace(/:.*/, '')
      .replace(/ \S+ \d+$/, '') ?? watched.phase
  new PerformanceObserver((list) => {
    for (const { startTime, duration } of list.getEntries()) watched.blocked.push({ at: startTime, ms: duration, doing: doing() })
  }).observe({ type: 'longtask' })
  let last = performance.now()
  const frame = (now: number) => {
    watched.frames.push({ at: now, ms: now - last, doing: doing() })
    last = now
    requestAnimationFrame(frame)
  }
  requestAnimationFrame(frame)
}

const journal = await allRoundJournal()
const files: Record<string, Uint8Array> = {}
for (const name of ['inspection.json', ...journal.files]) files[name] = await readFile(path.join(journal.folder, name))
const program = await startProgram()
const browser = await openBrowser(process.argv[2] === 'emulated' ? 'emulated' : 'none')
try {
  const answer = await fetch(`${program.url}/api/imports?id=${randomUUID()}`, {
    method: 'POST',
    headers: { 'content-type': 'application/zip' },
    body: zipSync(files, { level: 0 }) as Uint8Array<ArrayBuffer>,
  })
  if (!answer.ok) throw new Error(`${answer.status}: ${await answer.text()}`)
  const imported = (await answer.json()) as { document: { shaft: { id: string } } }
  const page = await (await browser.newContext({ viewport: { width: 1440, height: 900 } })).newPage()
  // what the transform to JavaScript wraps around functions is not known in the page
  await page.addInitScript('globalThis.__name = (of) => of')
  await page.addInitScript(watch)
  await page.goto(`${program.url}/shafts/${imported.document.shaft.id}/bench`)
  await page.getByRole('application', { name: /Rollout/ }).waitFor()
  const untilQuiet = async () => {
    for (let quiet = 0; quiet < 12; ) {
      await page.waitForTimeout(500)
      quiet = (await page.locator('[role=progressbar]').count()) > 0 ? 0 : quiet + 1
    }
  }
  const phase = (name: string) => page.evaluate((to) => Object.assign((globalThis as unknown as Watched).watched, { phase: to }), name)
  await untilQuiet()
  for (const button of [/^Remove photograph/, /^Undo/]) {
    await phase('Laid out anew')
    await page.getByRole('button', { name: button }).first().click()
    await page.waitForTimeout(4000)
    await phase('rest')
    await untilQuiet()
  }
  const { frames, blocked } = await page.evaluate(() => (globalThis as unknown as Watched).watched)
  const restFrom = (frames.at(-1)?.at ?? 0) - 5000
  const kinds = [...new Set(frames.map(({ doing }) => doing))].filter((doing) => doing !== 'rest')
  report(
    'rest',
    frames.filter(({ at }) => at > restFrom),
    blocked.filter(({ at }) => at > restFrom),
  )
  for (const kind of kinds)
    report(
      kind,
      frames.filter(({ doing }) => doing === kind),
      blocked.filter(({ doing }) => doing === kind),
    )
} finally {
  await browser.close()
  await program.dispose()
}

function report(kind: string, frames: readonly Frame[], blocked: readonly { ms: number }[]): void {
  const times = frames.map(({ ms }) => ms).sort((a, b) => a - b)
  const at = (share: number) => times[Math.min(times.length - 1, Math.floor(share * times.length))]?.toFixed(1) ?? '-'
  const late = times.filter((ms) => ms > 33.4).length
  console.log(
    `${kind}: ${times.length} frames, median ${at(0.5)} ms, 95 % ${at(0.95)} ms, longest ${at(1)} ms, ${late} over two frames late; ` +
      `${blocked.length} tasks over 50 ms, longest ${Math.max(0, ...blocked.map(({ ms }) => ms)).toFixed(0)} ms`,
  )
}

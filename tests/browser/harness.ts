/** A real browser from npm alone, at a desk's and at a phone's size, and what tests of pages need besides. */
import { mkdir } from 'node:fs/promises'
import path from 'node:path'
import { fileURLToPath } from 'node:url'
import sparticuz, { inflate } from '@sparticuz/chromium'
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { afterAll, beforeAll } from 'vitest'
import { type Program, startProgram } from './program'

export type { Browser, BrowserContext, Page } from 'playwright-core'
export { type Program, startProgram } from './program'

const top = fileURLToPath(new URL('../../', import.meta.url))

/** The two places where the program is used: a desk with a mouse, and the bench with a thumb. */
export const desk: BrowserContextOptions = { viewport: { width: 1440, height: 900 }, deviceScaleFactor: 1 }
export const phone: BrowserContextOptions = { viewport: { width: 390, height: 844 }, deviceScaleFactor: 2, hasTouch: true, isMobile: true }

/**
 * Chromium without a graphics card. The package's own default flags do not fit; these were tried. `graphics`: 'emulated' has a processor's threads play
 * the card, WebGL included, and now and then stands still for seconds over it; 'none' draws without one, as a browser does where there is none.
 */
export async function openBrowser(graphics: 'emulated' | 'none' = 'emulated'): Promise<Browser> {
  const libraries = await inflate(path.join(top, 'node_modules/@sparticuz/chromium/bin/al2023.tar.br'))
  return chromium.launch({
    executablePath: await sparticuz.executablePath(),
    env: { ...process.env, LD_LIBRARY_PATH: path.join(libraries, 'lib') } as Record<string, string>,
    args: [
      '--no-sandbox',
      '--headless=shell',
      ...(graphics === 'none'
        ? ['--disable-gpu', '--disable-software-rasterizer']
        : ['--use-gl=angle', '--use-angle=swiftshader', '--enable-unsafe-swiftshader', '--ignore-gpu-blocklist']),
    ],
  })
}

/** A program and a browser for the tests of the file or block that calls this: started before the first, closed after the last. */
export function programInBrowser(options: Parameters<typeof startProgram>[0] = {}): { program: Program; browser: Browser } {
  const own = {} as { program: Program; browser: Browser }
  beforeAll(async () => {
    own.program = await startProgram(options)
    own.browser = await openBrowser()
  })
  afterAll(async () => {
    await own.browser?.close()
    await own.program?.dispose()
  })
  return own
}

export type WatchedPage = { context: BrowserContext; page: Page /** Errors of the page and its console so far. */; errors: string[] }

/** A page of its own context that notes every error it meets; a test ends by expecting `errors` to be empty. */
export async function openPage(browser: Browser, url: string, options: BrowserContextOptions = desk): Promise<WatchedPage> {
  const context = await browser.newContext(options)
  const page = await context.newPage()
  const errors: string[] = []
  page.on('pageerror', (error) => errors.push(String(error)))
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(`${message.text()} (${message.location().url})`)
  })
  await page.goto(url)
  return { context, page, errors }
}

/** Keeps a screenshot to be looked at, under the folder that THROWMARK_SHOTS names; without it none is made. */
export async function shoot(page: Page, name: string): Promise<void> {
  const folder = process.env.THROWMARK_SHOTS
  if (!folder) return
  await mkdir(folder, { recursive: true })
  await page.screenshot({ path: path.join(folder, `${name}.png`), fullPage: false })
}

/** Draws with one finger: down at the first point, through the others, a rest, up at the last. CSS px of the page. */
export async function touchDrag(page: Page, points: readonly { x: number; y: number }[], restMs = 0): Promise<void> {
  const session = await page.context().newCDPSession(page)
  const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', at: readonly { x: number; y: number }[]) =>
    session.send('Input.dispatchTouchEvent', { type, touchPoints: at.map(({ x, y }) => ({ x, y })) })
  const [first, ...rest] = points
  if (!first) throw new Error('a drag needs a point')
  await touch('touchStart', [first])
  for (const point of rest) await touch('touchMove', [point])
  if (restMs > 0) await page.waitForTimeout(restMs)
  await touch('touchEnd', [])
  await session.detach()
}

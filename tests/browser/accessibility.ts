/** What axe-core finds wrong on a page: rules of WCAG 2.2 A and AA and its best practices. */
import axe from 'axe-core'
import type { Page } from 'playwright-core'

/** One line a violation: rule, element. Empty where none. */
export async function violations(page: Page): Promise<string[]> {
  await page.evaluate(axe.source)
  return page.evaluate(async () => {
    const { axe: loaded } = window as unknown as { axe: typeof import('axe-core') }
    const { violations: found } = await loaded.run(document, { resultTypes: ['violations'] })
    return found.flatMap((violation) =>
      violation.nodes.map((node) => `${violation.id}: ${node.target.join(' ')} ${node.failureSummary ?? ''}`),
    )
  })
}

/** Whatever one may press and is smaller than 44 px, and words smaller than 13 px, on what is shown now. */
export async function tooSmall(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const shown = (element: Element) => {
      const { width, height } = element.getBoundingClientRect()
      return width > 1 && height > 1 && getComputedStyle(element).visibility === 'visible'
    }
    const named = (element: Element) => `${element.tagName.toLowerCase()} “${(element.textContent ?? '').trim().slice(0, 30)}”`
    const pressed = [...document.querySelectorAll('button, a[href], summary, label.check, .box')].filter(shown)
    const targets = pressed
      // A link within a sentence is as high as its line (WCAG 2.5.8 leaves it out too).
      .filter((element) => getComputedStyle(element).display !== 'inline')
      .filter((element) => Math.round(element.getBoundingClientRect().height) < 44)
      .map((element) => `${named(element)} is ${Math.round(element.getBoundingClientRect().height)} px high`)
    const words = [...document.querySelectorAll('body *')]
      .filter((element) => [...element.childNodes].some((node) => node.nodeType === 3 && (node.textContent ?? '').trim() !== ''))
      .filter(shown)
      .filter((element) => Number.parseFloat(getComputedStyle(element).fontSize) < 13)
      .map((element) => `${named(element)} is ${getComputedStyle(element).fontSize}`)
    return [...targets, ...words]
  })
}

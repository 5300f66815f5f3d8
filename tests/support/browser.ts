import { mkdirSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { chromium, type Browser, type Locator, type Page } from 'playwright-core'
import { expect, onTestFailed } from 'vitest'

/** The browser that `npm test` found; empty: the tests that need one do not run. */
export const BROWSER = process.env['KINU_BROWSER'] ?? ''

const ARGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-component-update', '--disable-sync']
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const SERIOUS = `axe.run({ resultTypes: ['violations'] }).then(({ violations }) => violations
  .filter(({ impact }) => impact === 'serious' || impact === 'critical')
  .map(({ id, nodes }) => id + ': ' + nodes.map(({ html }) => html).slice(0, 3).join(' ')))`

/** Main buttons that something else lies on once they have been gone to by the keyboard: the bar at the bottom of a phone, for example. */
const COVERED = `[...document.querySelectorAll('main .k-button[data-kind=main]')].filter((button) => {
  button.focus()
  const { left, top, width, height } = button.getBoundingClientRect()
  const whole = [0.05, 0.5, 0.95].every((part) => button.contains(document.elementFromPoint(left + width / 2, top + height * part)))
  button.blur()
  return width > 0 && !whole
}).map((button) => button.textContent)`

/** The narrowest screen that every page must fit (console.md section 8, point 2). */
const PHONE_PX = 360
export const PHONE = { width: PHONE_PX, height: 740 }
export const DESK = { width: 1280, height: 800 }
const PATIENCE_MS = 30_000

export const openBrowser = (): Promise<Browser> => chromium.launch({ executablePath: BROWSER, args: ARGS })

export type Visitor = {
  readonly page: Page
  /** Button, link, heading or field by the words that people read. */
  readonly press: (name: string | RegExp, within?: Locator) => Promise<void>
  readonly pressTwice: (name: string | RegExp) => Promise<void>
  readonly follow: (name: string | RegExp, within?: Locator) => Promise<void>
  readonly fill: (label: string | RegExp, text: string) => Promise<void>
  readonly heading: (name: string | RegExp) => Promise<void>
  readonly sees: (text: string | RegExp, within?: Locator) => Promise<void>
  /** axe, the width of a phone, and that no main button is covered there; keeps pictures where KINU_PICTURES names a folder. */
  readonly look: (name: string) => Promise<void>
  /** Waits until the page stands: nothing is loaded or worked out any more. */
  readonly settled: () => Promise<void>
  /** What the mill refused, as "422 POST /lots". Everything else that went wrong fails `leave`. */
  readonly refused: readonly string[]
  readonly leave: () => Promise<void>
}

const picture = async (page: Page, name: string): Promise<void> => {
  const folder = process.env['KINU_PICTURES']
  if (!folder) return
  mkdirSync(folder, { recursive: true })
  await page.screenshot({ path: join(folder, `${name}-${page.viewportSize()?.width ?? 0}.png`), fullPage: true })
}

/** Somebody at a screen of their own, whose browser speaks this language. */
export const visit = async (
  browser: Browser,
  { address, screen, locale }: { readonly address: string; readonly screen: typeof DESK; readonly locale: string },
): Promise<Visitor> => {
  const context = await browser.newContext({ viewport: screen, locale, timezoneId: 'Africa/Nairobi', reducedMotion: 'reduce' })
  const page = await context.newPage()
  page.setDefaultTimeout(PATIENCE_MS)
  const refused: string[] = []
  const faults: string[] = []
  page.on('pageerror', (error) => faults.push(String(error)))
  // The browser's own word for a refusal; which they were is kept below.
  page.on('console', (message) => {
    if (message.type() === 'error' && !message.text().startsWith('Failed to load resource')) faults.push(message.text())
  })
  page.on('response', (response) => {
    if (response.status() < 400) return
    refused.push(`${response.status()} ${response.request().method()} ${new URL(response.url()).pathname.replace('/api/v1', '')}`)
  })
  onTestFailed(() => picture(page, 'failed'))
  await page.goto(address)
  const settled = async (): Promise<void> => {
    await page.locator('main').first().waitFor()
    await expect.poll(() => page.locator('.k-loading, .k-working').count(), { timeout: PATIENCE_MS }).toBe(0)
  }
  const look = async (name: string): Promise<void> => {
    await settled()
    await page.evaluate(`globalThis.axe === undefined && (() => { ${AXE} })()`)
    expect(await page.evaluate(SERIOUS), name).toEqual([])
    await picture(page, name)
    if (screen.width !== PHONE_PX) await page.setViewportSize(PHONE)
    // a page made narrow is drawn anew a moment later
    await expect
      .poll(() => page.evaluate('document.documentElement.scrollWidth'), { message: `${name} at ${PHONE_PX} px`, timeout: 10_000 })
      .toBeLessThanOrEqual(PHONE_PX)
    expect(await page.evaluate(COVERED), `covered on ${name}`).toEqual([])
    if (screen.width === PHONE_PX) return
    await picture(page, name)
    await page.setViewportSize(screen)
  }
  const scope = (within?: Locator) => within ?? page
  return {
    page,
    refused,
    look,
    settled,
    press: (name, within) => scope(within).getByRole('button', { name }).first().click(),
    pressTwice: (name) => page.getByRole('button', { name }).first().dblclick(),
    follow: (name, within) => scope(within).getByRole('link', { name }).first().click(),
    fill: (label, text) => page.getByLabel(label).and(page.locator('input, textarea')).first().fill(text),
    heading: (name) => page.getByRole('heading', { name }).first().waitFor(),
    sees: (text, within) => scope(within).getByText(text).first().waitFor(),
    leave: async () => {
      await context.close()
      expect(faults).toEqual([])
    },
  }
}

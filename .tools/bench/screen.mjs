// A started mill with its demo in a browser: from a key pressed in a limit to the new answer painted on the screen.
import { chromium } from 'playwright-core'
import { findBrowser } from '../browser.mjs'
import { medianOf, quantileOf, range } from './figures.mjs'
import { PASSWORD, startMill } from './server.mjs'

const EDITS = 20
const REST_MS = 1500
const PATIENCE_MS = 60_000

/** Runs in the page: the time of the next key, and of the first frame after which the row says what the mix then has. */
const watchRow = ({ row, text }) => {
  const now = document.querySelector(`[role=group][aria-label="${row}"] .k-limit-now`)
  globalThis.shown = new Promise((done) => {
    let pressed = 0
    addEventListener('keydown', (event) => (pressed = event.timeStamp), { capture: true, once: true })
    const seen = new MutationObserver(() => {
      if (!now.textContent.startsWith(text)) return
      seen.disconnect()
      requestAnimationFrame(() => setTimeout(() => done(performance.now() - pressed)))
    })
    seen.observe(now, { subtree: true, childList: true, characterData: true })
  })
}

async function openDraft(page, address) {
  await page.goto(address)
  await page.getByLabel('E-mail or phone number').fill('nutritionist@mlimakijani.example')
  await page.getByLabel('Password').fill(PASSWORD)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await page.getByRole('link', { name: 'Formulas' }).first().click()
  await page.getByRole('link', { name: 'Layer mash', exact: true }).first().click()
  await page.getByRole('heading', { name: /, Layer mash$/ }).waitFor()
  await page.getByRole('link', { name: 'Open', exact: true }).first().click()
  await page.getByRole('button', { name: 'New version from this one' }).click()
  await page.getByRole('group', { name: 'protein', exact: true }).locator('.k-limit-now', { hasText: '%' }).waitFor()
}

/** The last digit of the protein minimum is typed over; protein stands at its limit, so the mix must have just that. */
async function measureEdit(page, digit) {
  const text = `16.${digit}`
  await page.waitForTimeout(REST_MS)
  await page.keyboard.press('End')
  await page.keyboard.press('Shift+ArrowLeft')
  await page.evaluate(watchRow, { row: 'protein', text: `${text}\u00a0%` })
  await page.keyboard.press(String(digit))
  return page.evaluate('globalThis.shown')
}

export async function measureScreen() {
  const executablePath = findBrowser()
  if (executablePath === null) throw new Error('no browser found; name one in KINU_BROWSER')
  const { address, stop } = await startMill()
  const browser = await chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-gpu'] })
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 }, locale: 'en-GB' })
    page.setDefaultTimeout(PATIENCE_MS)
    await openDraft(page, address)
    await page.getByRole('group', { name: 'protein', exact: true }).getByLabel('at least').fill('16.0')
    const times = []
    for (const i of range(EDITS)) times.push(await measureEdit(page, (i % 9) + 1))
    console.log(`\nFrom a key in a limit to the new answer on the screen, layer mash of the demo, ${EDITS} edits`)
    console.log(`median ${medianOf(times).toFixed(0)} ms (goal 100), 90th percentile ${quantileOf(times, 0.9).toFixed(0)} ms`)
  } finally {
    await browser.close()
    await stop()
  }
}

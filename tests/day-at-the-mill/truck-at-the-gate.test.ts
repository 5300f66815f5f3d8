import type { Browser, Locator } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { dayFromNow } from '../support/builders/days.js'
import { makeVersion } from '../support/builders/formulas.js'
import { prepareMill } from '../support/builders/mill.js'
import { makeLayerLots, makeOrder } from '../support/builders/orders.js'
import { makeSupplier } from '../support/builders/suppliers.js'
import { BROWSER, openBrowser, PHONE, visit, type Visitor } from '../support/browser.js'
import { openMill, type Mill } from '../support/mill.js'
import { PASSWORD } from '../support/users.js'

type Typed = {
  readonly find: string
  readonly kg: string
  readonly price: string
  readonly moisture: string
  readonly protein?: string
  readonly sand?: string
}

describe.skipIf(BROWSER === '')('trucks at the gate, on the phone of the store keeper', { timeout: 180_000 }, () => {
  let mill: Mill
  let browser: Browser
  let keeper: Visitor
  let address = ''

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    await makeLayerLots(mill.db)
    await makeSupplier(mill.db)
    const version = await makeVersion(mill.db, { nameEn: 'Layer mash' })
    await makeOrder(mill.db, { formulaVersionId: version.id, kg: '2000', dueOn: dayFromNow(6) })
    address = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    browser = await openBrowser()
  }, 120_000)

  afterAll(() => browser.close())

  const ask = async ({ find, kg, price, moisture, protein = '', sand = '' }: Typed): Promise<string> => {
    const { page } = keeper
    await keeper.heading('What is this truck worth?')
    const another = page.getByRole('button', { name: 'Another ingredient' })
    if ((await another.count()) > 0) await another.click()
    await keeper.fill('What came?', find)
    await page.locator('.k-pick').first().click()
    await keeper.fill('Weight on the truck', kg)
    await keeper.fill('Price asked for a kg as it came', price)
    await keeper.fill('Moisture by the meter', moisture)
    if (!(await page.locator('#gate-sandPct').isVisible())) await page.getByText('Quick tests and terms').click()
    await keeper.fill('Protein by a quick test', protein)
    await keeper.fill('Sand', sand)
    const answered = page.waitForResponse((response) => response.url().endsWith('/gate-price'))
    await keeper.press('What is it worth?')
    expect((await answered).status()).toBe(200)
    const answer = page.locator('.k-gate-answer')
    await answer.waitFor()
    await keeper.settled()
    return answer.innerText()
  }
  const priceIn = (answer: string): number => Number(/KES.([\d.]+)/.exec(answer)?.[1])
  const dry = { find: 'white maize', kg: '500', price: '30', moisture: '11.5' }
  let dryWorth = Number.NaN

  test('are asked about from the home page', async () => {
    const { user } = await mill.as('store-keeper')
    keeper = await visit(browser, { address, screen: PHONE, locale: 'en-GB' })
    await keeper.fill('E-mail or phone number', user.login)
    await keeper.fill('Password', PASSWORD)
    await keeper.press('Sign in')
    await keeper.follow('What is this truck worth?', keeper.page.locator('main'))
    await keeper.heading('What is this truck worth?')
    await keeper.look('gate-question')
  })

  test('cheap dry maize is taken, with what it replaces, and carried over to receiving', async () => {
    const answer = await ask(dry)
    expect(answer).toMatch(/^Take it: all of it is worth up to/)
    dryWorth = priceIn(answer)
    expect(dryWorth).toBeGreaterThan(30)
    await keeper.sees(/kg of White maize, lot \d+, at/)
    await keeper.sees('Layer mash takes 500')
    await keeper.look('gate-dry-maize')
  })

  test('wet maize at the same price is worth less, for what is left of it when dried', async () => {
    const answer = await ask({ ...dry, moisture: '20', price: '39' })
    expect(answer).toMatch(/^Offer at most/)
    expect(priceIn(answer)).toBeLessThan(dryWorth)
    await keeper.sees(/dried to 13.5/)
    await keeper.sees('Not allowed')
    await keeper.look('gate-wet-maize')
  })

  test('sandy soya cake with weak protein is worth less than soya of the book', async () => {
    const soya = { find: 'soya', kg: '200', price: '94', moisture: '11' }
    const book = await ask(soya)
    const weak = await ask({ ...soya, protein: '34', sand: '12' })
    expect(weak).toMatch(/^(Offer at most|Not wanted)/)
    expect(priceIn(weak)).toBeLessThan(priceIn(book))
    await keeper.look('gate-sandy-soya')
  })

  test('a slow answer tells the seconds and can be stopped; the answer before stays, and the truck can be asked about again', async () => {
    const { page } = keeper
    const before = await page.locator('.k-gate-answer').innerText()
    let letGo = (): void => undefined
    const held = new Promise<void>((resolve) => {
      letGo = resolve
    })
    await page.route('**/gate-price', async (route) => {
      await held
      await route.abort().catch(() => undefined)
    })
    await keeper.press('What is it worth?')
    await keeper.sees(/Making all feeds with and without this truck/)
    await keeper.sees(/^2 s/)
    await keeper.press('Stop')
    await expect.poll(() => page.getByText('Making all feeds').count()).toBe(0)
    expect(await page.locator('.k-gate-answer').innerText()).toBe(before)
    letGo()
    await page.unroute('**/gate-price')
    expect(await ask(dry)).toMatch(/^Take it/)
  })

  test('what is missing is said beside its field, and the truck goes on to receiving', async () => {
    const { page } = keeper
    await keeper.press('Another ingredient')
    await keeper.fill('Weight on the truck', '')
    await keeper.press('What is it worth?')
    await expect.poll(() => page.locator('#gate-kg').getAttribute('aria-invalid')).toBe('true')
    // the button stands far below what is wrong: who pressed is led there, and from there to the first field
    const count = page.getByText(/fields? needs? a look/)
    const top = async (field: Locator) => Math.round((await field.boundingBox())?.y ?? -1)
    await expect.poll(() => top(count)).toBeGreaterThan(0)
    expect(await top(count)).toBeLessThan(PHONE.height)
    await count.click()
    expect(await page.evaluate('document.activeElement.id')).toBe('gate-ingredientId')
    // who types is not led away, though a field is wrong for a moment
    await keeper.fill('What came?', dry.find)
    await page.locator('.k-pick').first().click()
    await keeper.fill('Weight on the truck', '500')
    await expect.poll(() => count.count()).toBe(0)
    const price = page.getByLabel('Price asked for a kg as it came')
    await price.evaluate((field) => field.scrollIntoView({ block: 'start' }))
    const before = await top(price)
    await price.fill('')
    await count.waitFor()
    expect(await top(price)).toBe(before)
    await ask(dry)
    await keeper.press('Receive this truck')
    await keeper.heading('Receive a lot')
    expect(await page.getByLabel('Net weight').inputValue()).toBe('500')
    expect(await page.getByLabel('Price per kg').inputValue()).toBe('30')
    await keeper.leave()
  })
})

import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Role } from '#platform/actor'
import { prepareMill } from '../support/builders/mill.js'
import { makePlannedOrder } from '../support/builders/production.js'
import { BROWSER, DESK, openBrowser, PHONE, visit, type Visitor } from '../support/browser.js'
import { openMill, type Mill } from '../support/mill.js'
import { PASSWORD } from '../support/users.js'
import { addSupplier, analyse, DELIVERIES, receive } from './deliveries.js'

/** From each list to what its first row opens, and from there to what hangs on it. */
const WAYS = [
  ['lots'],
  ['orders'],
  ['batches'],
  ['members', 'flocks'],
  ['formulas', 'formula-versions'],
  ['suppliers'],
  ['ingredients'],
] as const
const PAGES: { readonly [R in Role]?: readonly string[] } = {
  manager: [
    '/',
    '/decide',
    '/plan',
    '/trace',
    '/hand-over',
    '/requirements',
    '/safety-rules',
    '/discrepancies',
    '/stock-movements',
    '/stock-proof',
    '/stock-as-of',
    '/stock-proposals',
    '/count',
  ],
  nutritionist: ['/', '/formulas', '/formulas/create', '/requirements', '/safety-rules'],
  'store-keeper': ['/', '/lots/create', '/hand-over', '/suppliers/create', '/count', '/stock-as-of'],
  laboratory: ['/', '/assays', '/to-test', '/import-results'],
  'mixer-operator': ['/', '/batches', '/problem'],
  'counter-clerk': ['/', '/orders/create', '/members/create', '/hand-over'],
}

describe.skipIf(BROWSER === '')('the pages of the console', { timeout: 180_000 }, () => {
  let mill: Mill
  let browser: Browser
  let address = ''

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    await makePlannedOrder(mill.db)
    const [store, laboratory] = [await mill.as('store-keeper'), await mill.as('laboratory')]
    const supplierId = await addSupplier(store, 'Ota Traders')
    const [delivery] = DELIVERIES.filter(({ results }) => results !== undefined)
    if (delivery?.results === undefined) throw new Error('no delivery with results')
    await analyse(laboratory, (await receive(store, supplierId, delivery)).id, delivery.results)
    address = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    browser = await openBrowser()
  }, 120_000)

  afterAll(() => browser.close())

  const enter = async (role: Role, screen: typeof DESK): Promise<Visitor> => {
    const visitor = await visit(browser, { address, screen, locale: 'en-GB' })
    await visitor.fill('E-mail or phone number', (await mill.as(role)).user.login)
    await visitor.fill('Password', PASSWORD)
    await visitor.press('Sign in')
    await visitor.page.getByRole('navigation').waitFor()
    return visitor
  }
  const goTo = async ({ page, settled }: Visitor, path: string): Promise<void> => {
    await page.evaluate(`location.hash = '#${path}'`)
    await page.locator('main h1').first().waitFor()
    await settled()
  }

  // A list leaves its rows in the browser's memory; a page that takes one for the whole thing fails on what the row has not.
  test.each([
    ['a desk', DESK],
    ['a phone', PHONE],
  ])('open whole from the list that stood before them, at %s', async (_, screen) => {
    const manager = await enter('manager', screen)
    for (const way of WAYS) {
      await goTo(manager, `/${way[0]}`)
      for (const resource of way) {
        const link = manager.page.locator(`main a[href^="#/${resource}/"]:not([href$="/create"]):not([href*="create?"])`).first()
        await link.waitFor()
        const href = (await link.getAttribute('href')) ?? ''
        await link.click()
        await expect.poll(() => manager.page.url(), { timeout: 20_000 }).toContain(href)
        await manager.page.locator('main h1').first().waitFor()
        await manager.settled()
        await manager.look(`from-list-${resource}`)
      }
    }
    await manager.leave()
  })

  test.each(Object.entries(PAGES) as [Role, readonly string[]][])(
    'fit the phone of the %s: one line of header, nothing on a main button',
    async (role, pages) => {
      const visitor = await enter(role, PHONE)
      const header = await visitor.page.locator('.k-shell-header').boundingBox()
      expect(header?.height ?? 0).toBeGreaterThan(0)
      expect(header?.height ?? 0).toBeLessThan(70)
      for (const path of pages) {
        await goTo(visitor, path)
        await visitor.look(`${role}${path.replaceAll('/', '-')}`)
      }
      await visitor.leave()
    },
  )

  test('leave all of the manager to find on one screen of a laptop, whichever group is open', async () => {
    const manager = await enter('manager', DESK)
    const navigation = manager.page.getByRole('navigation').first()
    const groups = navigation.locator('.k-nav-fold')
    expect(await groups.count()).toBeGreaterThan(0)
    for (const group of await groups.all()) {
      await group.locator('summary').click()
      const ends = await navigation
        .locator('.k-nav-link:visible')
        .evaluateAll((links) => links.map((link) => link.getBoundingClientRect().bottom))
      expect(Math.max(...ends)).toBeLessThanOrEqual(DESK.height)
    }
    await manager.leave()
  })
})

import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { LotView } from '#contract/lots'
import type { Role } from '#platform/actor'
import { STAGES } from '#core/requirement/stages'
import { SHEET_KINDS } from '#core/sheets/sheet'
import { dayFromNow } from '../support/builders/days.js'
import { makeLot } from '../support/builders/lots.js'
import { prepareMill } from '../support/builders/mill.js'
import { makeOffer } from '../support/builders/offers.js'
import { makePlannedOrder, mixAll } from '../support/builders/production.js'
import { makeSheets } from '../support/builders/sheets.js'
import { BROWSER, DESK, openBrowser, PHONE, visit, type Visitor } from '../support/browser.js'
import { openMill, type Mill, type SignedIn } from '../support/mill.js'
import { createUser, PASSWORD } from '../support/users.js'
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
/**
 * Names in a path stand for what is made beforehand: a lot on hold, one released for some feeds, a moist lot and a bin with part of it, a
 * standing offer, a sheet of each kind.
 */
const STORE_AND_LABORATORY: { readonly [R in Role]?: readonly string[] } = {
  manager: [
    '/lots/:held/hold',
    '/lots/:held/release',
    '/lots/:released/show',
    '/lots/:released/limit',
    '/lots/:bin/show',
    '/lots/:bin/undo-making',
    '/lots/:wet/reject',
    '/required-tests',
    '/supplier-offers/:offer/withdraw',
    '/blank-sheets',
    '/blank-sheets/create',
    '/sheet-bundles/:bundle',
    '/enter-sheet?sheet=:weighing',
    '/enter-sheet/weighing?sheet=:weighing&happenedAt=:moment',
    '/batches/:load/paper?sheet=:weighing&happenedAt=:moment',
    '/blank-sheets/:blank/spoil',
  ],
  'store-keeper': [
    '/lots/:held/papers/card',
    '/lots/:held/papers/label',
    '/lots/:released/papers/card',
    '/lots/:held/correct',
    '/lots/:wet/make/grinding',
    '/lots/:wet/make/drying',
    '/lots/:wet/make/bin',
    '/supplier-offers',
    '/supplier-offers/create',
    '/supplier-offers/:offer/show',
    '/gate-price',
    '/outbox',
    '/outbox/leave',
    '/enter-sheet/receiving?sheet=:receiving&happenedAt=:moment',
    '/enter-sheet/collection?sheet=:collection&happenedAt=:moment',
  ],
  laboratory: ['/record-samples', '/lots/:held/record', '/lots/:released/release', '/assays'],
}
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
    '/gate-price',
  ],
  nutritionist: ['/', '/formulas', '/formulas/create', '/requirements', '/safety-rules'],
  'store-keeper': ['/', '/lots/create', '/hand-over', '/suppliers/create', '/count', '/stock-as-of', '/gate-price'],
  laboratory: ['/', '/assays', '/to-test', '/import-results'],
  'mixer-operator': ['/', '/batches', '/problem'],
  'counter-clerk': ['/', '/orders/create', '/members/create', '/hand-over'],
}

/** Part of a moist lot was dried, somewhat lighter than its dry matter allows, and lies in a bin with another part of it and a dry lot. */
const madeLots = async ({ db }: Mill, store: SignedIn): Promise<ReadonlyMap<string, string>> => {
  const [wet, other] = [
    await makeLot(db, { assays: { moisture: 13.4, CP: 7.6, aflatoxin_total: 4 } }),
    await makeLot(db, { assays: { moisture: 12, CP: 8.2, aflatoxin_total: 4 } }),
  ]
  const make = async (body: object): Promise<string> => {
    const reply = await store.post('/lots/made', body)
    expect(reply.status, reply.text).toBe(201)
    return reply.as(LotView).id
  }
  const moistures = { moistureBeforePct: 13.4, moistureAfterPct: 12 }
  const dried = await make({ kind: 'drying', inputs: [{ lotId: wet.id, kg: '500' }], gotKg: '480', lossKind: 'moisture', ...moistures })
  const parts = [dried, wet.id, other.id].map((lotId, index) => ({ lotId, kg: String(300 - 100 * index) }))
  return new Map([
    [':wet', wet.id],
    [':bin', await make({ kind: 'bin', inputs: parts, gotKg: '597', lossKind: 'dust', storagePlace: 'Bin 2', note: 'Swept up' })],
  ])
}

describe.skipIf(BROWSER === '')('the pages of the console', { timeout: 180_000 }, () => {
  let mill: Mill
  let browser: Browser
  let address = ''
  const made = new Map<string, string>()

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    const { batchIds } = await makePlannedOrder(mill.db)
    await mixAll(await mill.as('mixer-operator'), await makePlannedOrder(mill.db))
    const [store, laboratory] = [await mill.as('store-keeper'), await mill.as('laboratory')]
    const supplierId = await addSupplier(store, 'Ota Traders')
    const [delivery] = DELIVERIES.filter(({ results }) => results !== undefined)
    if (delivery?.results === undefined) throw new Error('no delivery with results')
    await analyse(laboratory, (await receive(store, supplierId, delivery)).id, delivery.results)
    const assays = { moisture: 12, CP: 8.2, aflatoxin_total: 4 }
    made.set(':held', (await makeLot(mill.db, { status: 'on-hold' })).id)
    const { id: released } = await makeLot(mill.db, { assays })
    await mill.db.lot.update({
      where: { id: released },
      data: { releasedFor: STAGES.slice(0, 4).map(({ id }) => id), retestOn: new Date(`${dayFromNow(9)}T00:00:00Z`) },
    })
    made.set(':released', released)
    for (const [name, id] of await madeLots(mill, store)) made.set(name, id)
    made.set(':offer', (await makeOffer(mill.db, { fewestPacks: 40, mostKg: '9000' })).id)
    for (const kind of SHEET_KINDS) {
      const [sheet] = await makeSheets(mill.db, { kind })
      made.set(`:${kind}`, sheet?.code ?? '')
      if (kind === 'weighing') made.set(':bundle', sheet?.bundleId ?? '').set(':blank', sheet?.id ?? '')
    }
    made.set(':load', batchIds[0] ?? '').set(':moment', new Date(Date.now() - 600_000).toISOString())
    address = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    browser = await openBrowser()
  }, 120_000)

  afterAll(() => browser.close())

  const SIGN_IN = {
    'en-GB': ['E-mail or phone number', 'Password', 'Sign in'],
    'sw-KE': ['Barua pepe au namba ya simu', 'Nenosiri', 'Ingia'],
  } as const
  const enter = async (role: Role, screen: typeof DESK, locale: keyof typeof SIGN_IN = 'en-GB'): Promise<Visitor> => {
    const [login, password, button] = SIGN_IN[locale]
    const visitor = await visit(browser, { address, screen, locale })
    // what a page says after signing in is in the language of the person, not of the browser
    const who =
      locale === 'sw-KE' ? await createUser(mill.db, { role, name: 'Neema Cheruiyot', language: 'sw' }) : (await mill.as(role)).user
    await visitor.fill(login, who.login)
    await visitor.fill(password, PASSWORD)
    await visitor.press(button)
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

  test.each(
    (Object.entries(STORE_AND_LABORATORY) as [Role, readonly string[]][]).flatMap(([role, pages]) =>
      (['en-GB', 'sw-KE'] as const).map((locale) => ({ role, locale, pages })),
    ),
  )('of receiving, laboratory, release, offers and power cuts fit the phone of the $role in $locale', async ({ role, locale, pages }) => {
    const visitor = await enter(role, PHONE, locale)
    expect(await visitor.page.locator('html').getAttribute('lang')).toBe(locale.slice(0, 2))
    const atSignIn = visitor.refused.length
    for (const path of pages) {
      await goTo(
        visitor,
        [...made].reduce((text, [name, id]) => text.replace(name, id), path),
      )
      await visitor.look(`${locale}-${role}${path.replaceAll(/[/:]+/g, '-')}`)
      expect(visitor.refused.slice(atSignIn), path).toEqual([])
    }
    await visitor.leave()
  })

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

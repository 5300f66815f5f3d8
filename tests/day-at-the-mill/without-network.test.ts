import type { Browser } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { hashPassword } from '#features/access/password'
import { makeVersion } from '../support/builders/formulas.js'
import { makeFlock } from '../support/builders/members.js'
import { prepareMill } from '../support/builders/mill.js'
import { makeMixer, makeOrder } from '../support/builders/orders.js'
import { BROWSER, DESK, openBrowser, PHONE, visit, type Visitor } from '../support/browser.js'
import { openMill, type Mill } from '../support/mill.js'
import { PASSWORD, createUser, type TestUser } from '../support/users.js'
import { addSupplier, receive } from './deliveries.js'

/** Whose answers of the mill lie on the phone. */
const WHOSE_FIGURES = `new Promise((done) => {
  const opening = indexedDB.open('kinu')
  opening.onsuccess = () => {
    const keys = opening.result.transaction('seen').objectStore('seen').getAllKeys()
    keys.onsuccess = () => {
      opening.result.close()
      done([...new Set(keys.result.map(([userId]) => userId))])
    }
  }
})`
const PIN = '480172'
/** Nobody is signed in when a sign-in page opens: the mill says so, and nothing else is refused. */
const refusedInside = ({ refused }: Visitor): string[] => refused.filter((line) => !/^401 (GET|DELETE) \/session$/.test(line))

/** Receiving and ordering where the network comes and goes, on the phones of people who walk through it. */
describe.skipIf(BROWSER === '')('without a network', { timeout: 120_000 }, () => {
  let mill: Mill
  let browser: Browser
  let address = ''
  let member: TestUser
  let supplierId = ''
  let ready = 0

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    await makeMixer(mill.db)
    supplierId = await addSupplier(await mill.as('store-keeper'), 'Ota Traders')
    const { id: formulaVersionId } = await makeVersion(mill.db, { nameEn: 'Layer mash' })
    ready = (await makeOrder(mill.db, { status: 'ready', formulaVersionId })).number
    member = await createUser(mill.db, { role: 'member', name: 'Wanja Muriko', language: 'sw' })
    await mill.db.appUser.update({ where: { id: member.id }, data: { passwordHash: await hashPassword(PIN) } })
    await makeFlock(mill.db, { memberId: member.memberId ?? '', name: 'Kuku wa nyuma' })
    address = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    browser = await openBrowser()
  }, 120_000)

  afterAll(() => browser.close())

  const signIn = async (visitor: Visitor, { login }: TestUser): Promise<void> => {
    await visitor.fill('E-mail or phone number', login)
    await visitor.fill('Password', PASSWORD)
    await visitor.press('Sign in')
    await visitor.page.getByRole('navigation').waitFor()
  }
  const keeper = async (name: string, screen = PHONE): Promise<{ visitor: Visitor; user: TestUser }> => {
    const user = await createUser(mill.db, { role: 'store-keeper', name, language: 'en' })
    const visitor = await visit(browser, { address, screen, locale: 'en-GB' })
    await signIn(visitor, user)
    return { visitor, user }
  }
  /** Until the page lies on the phone, and the files it is made of with it: one of this name at least. */
  const keptForLater = async ({ page }: Visitor, path: string, file: string): Promise<void> => {
    const kept = `Promise.all([caches.match('${path}'), caches.open('kinu-files').then((files) => files.keys())])
      .then(([page, files]) => page !== undefined && files.some(({ url }) => url.includes('${file}')))`
    await expect.poll(() => page.evaluate(kept), { timeout: 60_000 }).toBe(true)
  }
  const network = async ({ page }: Visitor, up: boolean): Promise<void> => {
    // a worker that is being fetched when the network goes is a fault of the browser's own, told in its console
    if (!up) await page.evaluate('navigator.serviceWorker.ready.then(() => true)')
    await page.context().setOffline(!up)
  }
  const fillDelivery = async (visitor: Visitor, netKg: string): Promise<void> => {
    await visitor.fill('What came?', 'white maize')
    await visitor.press('White maize')
    await visitor.page.getByLabel('From whom?').selectOption({ label: 'Ota Traders' })
    await visitor.fill('Net weight', netKg)
    await visitor.fill('Price per kg', '41.60')
  }

  test('a delivery is received, the phone is closed and opened, and with the network it becomes one lot', async () => {
    const { visitor: juma } = await keeper('Juma Barasa')
    const asked: string[] = []
    juma.page.on('dialog', (dialog) => {
      asked.push(dialog.type())
      void dialog.accept()
    })
    await juma.follow('Receive')
    await juma.page.getByLabel('From whom?').locator('option', { hasText: 'Ota Traders' }).waitFor({ state: 'attached' })
    await keptForLater(juma, '/', 'LotReceive')
    await network(juma, false)
    await juma.sees(/^No network\. Figures as of \d\d:\d\d$/)
    await fillDelivery(juma, '900')
    await juma.look('receive-offline')
    await juma.pressTwice('Receive the lot')
    await juma.heading('Entries on this phone')
    await juma.sees('Receive: 900.0 kg of White maize from Ota Traders')
    await juma.sees(/^on this phone$/)
    await juma.sees(/^No network\. 1 entry waits on this phone\. Figures as of \d\d:\d\d$/)
    await juma.look('outbox-waiting')
    // a second one waits behind it
    await juma.follow('Receive')
    await fillDelivery(juma, '450')
    await juma.press('Receive the lot')
    await juma.sees('Receive: 450.0 kg of White maize from Ota Traders')
    await juma.page.reload()
    expect(asked).toEqual(['beforeunload'])
    await juma.sees(/^No network\. 2 entries wait on this phone\./)
    // signing out with a full outbox asks first
    await juma.page.locator('summary', { hasText: 'Juma' }).click()
    await juma.press('Sign out')
    await juma.sees('2 entries have not been sent. They stay on this phone, and are sent when you sign in here again.')
    await juma.look('outbox-leave')
    await juma.follow('Stay signed in')
    expect(await mill.db.lot.count()).toBe(0)
    await network(juma, true)
    await juma.sees(/^sent \d\d:\d\d$/)
    await expect.poll(() => juma.page.getByText(/^sent \d\d:\d\d$/).count()).toBe(2)
    await juma.look('outbox-sent')
    const lots = await mill.db.lot.findMany({ orderBy: { number: 'asc' } })
    expect(lots.map(({ netKg }) => netKg.toFixed(0))).toEqual(['900', '450'])
    await juma.follow(`It is lot ${lots[0]?.number ?? ''}.`)
    await juma.heading(`Lot ${lots[0]?.number ?? ''}, White maize`)
    expect(refusedInside(juma)).toEqual([])
    await juma.leave()
  })

  test('an answer that was lost on the way makes no second lot, and is shown when it comes', async () => {
    const { visitor: juma } = await keeper('Juma Wafula')
    const before = await mill.db.lot.count()
    await juma.follow('Receive')
    await fillDelivery(juma, '700')
    // the mill writes, and the connection is cut before its answer arrives
    let cut = 0
    await juma.page.route('**/api/v1/lots', async (route) => {
      if (route.request().method() !== 'POST' || cut > 0) return route.continue()
      cut += 1
      await route.fetch()
      await route.abort('connectionreset')
    })
    await juma.press('Receive the lot')
    await juma.heading(/^Lot \d+$/)
    const { number } = await mill.db.lot.findFirstOrThrow({ orderBy: { number: 'desc' } })
    await juma.heading(`Lot ${number}`)
    expect(await mill.db.lot.count()).toBe(before + 1)
    expect(cut).toBe(1)
    expect(refusedInside(juma)).toEqual([])
    await juma.leave()
  })

  test('on a shared phone each person sees and sends their own, and a refused entry says why and is thrown away with a reason', async () => {
    const { visitor: phone, user: first } = await keeper('Otieno Were', DESK)
    const second = await createUser(mill.db, { role: 'store-keeper', name: 'Amina Okello', language: 'en' })
    const before = await mill.db.lot.count()
    await phone.follow('Receive')
    await fillDelivery(phone, '610')
    await expect.poll(() => phone.page.evaluate(WHOSE_FIGURES)).toContain(first.id)
    await network(phone, false)
    await phone.press('Receive the lot')
    await phone.heading('Entries on this phone')
    await phone.page.locator('summary', { hasText: 'Otieno' }).click()
    await phone.press('Sign out')
    await phone.press('Sign out', phone.page.locator('main'))
    await phone.heading('Sign in')
    await phone.sees('No network', phone.page.locator('main'))
    await phone.sees(/1 entry waits on this phone\. Sign in to send it$/)
    await network(phone, true)
    await signIn(phone, second)
    await phone.sees('1 entry of somebody else waits on this phone until they sign in')
    await phone.page.goto(`${address}/#/outbox`)
    await phone.sees('No entry waits.')
    expect(await phone.page.getByText('610').count()).toBe(0)
    // nor does what the first one saw stay on the phone
    await expect.poll(() => phone.page.evaluate(WHOSE_FIGURES)).not.toContain(first.id)
    expect(await mill.db.lot.count()).toBe(before)
    await phone.page.locator('summary', { hasText: 'Amina' }).click()
    await phone.press('Sign out')
    // the mill refuses what was typed
    await phone.page.route('**/api/v1/lots', (route) =>
      route.request().method() === 'POST'
        ? route.fulfill({
            status: 422,
            contentType: 'application/problem+json',
            body: JSON.stringify({ code: 'supplier-unknown', requestId: 'r-1', errors: [] }),
          })
        : route.continue(),
    )
    await signIn(phone, first)
    await phone.sees('1 entry was not accepted')
    await phone.heading('Entries on this phone')
    await phone.sees('This supplier is not in the list')
    await phone.look('outbox-refused')
    await phone.press('Throw away')
    await phone.press('Throw away')
    await phone.sees('This must not be empty')
    await phone.fill('Why is it thrown away?', 'came back on the lorry')
    await phone.press('Throw away')
    await phone.sees(/^Thrown away \d\d:\d\d: came back on the lorry$/)
    expect(await mill.db.lot.count()).toBe(before)
    expect(refusedInside(phone)).toEqual(['422 POST /lots'])
    await phone.leave()
  })

  test('results wait for the network, and a release says that it needs it', async () => {
    const lot = await receive(await mill.as('store-keeper'), supplierId, { ingredientId: 'wheat_pollard', netKg: '800', pricePerKg: '30' })
    const lab = await visit(browser, { address, screen: DESK, locale: 'en-GB' })
    lab.page.on('dialog', (dialog) => void dialog.accept())
    await signIn(lab, (await mill.as('laboratory')).user)
    await lab.page.goto(`${address}/#/lots/${lot.id}/record`)
    await lab.fill('Moisture', '11.9')
    await lab.fill('Protein', '16.1')
    await network(lab, false)
    await lab.press('Record results')
    await lab.heading('Entries on this phone')
    await lab.sees(`Results of lot ${lot.number}, Wheat pollard`)
    await lab.look('outbox-results')
    expect(await mill.db.assay.count()).toBe(0)
    await network(lab, true)
    await lab.sees(/^sent \d\d:\d\d$/)
    expect(await mill.db.assay.findMany()).toMatchObject([{ lotId: lot.id }, { lotId: lot.id }])
    await lab.page.goto(`${address}/#/lots/${lot.id}/release`)
    const release = lab.page.getByRole('button', { name: /^Release/ })
    await release.waitFor()
    await network(lab, false)
    expect(await release.innerText()).toMatch(/\(needs the network\)$/)
    expect(await release.isDisabled()).toBe(true)
    expect(refusedInside(lab)).toEqual([])
    await lab.leave()
  })

  test('a hand-over whose code was wrong is told when the network is back, and leads to the same order again', async () => {
    const { visitor: store } = await keeper('Neema Atieno')
    await store.follow('Hand over')
    await store.press(`Hand over: Order ${ready}`)
    await network(store, false)
    await store.page.getByLabel('Digit 1').click()
    await store.page.keyboard.type('4321')
    await store.press(/^Hand over 100/)
    await store.sees(new RegExp(`^Hand over: order ${ready}, 100\\.0\\skg, to Member`))
    await network(store, true)
    await store.sees('not accepted')
    await store.sees('Wrong collection code')
    await store.follow('Correct')
    expect(await store.page.getByLabel('Name of the member or number of the order').inputValue()).toBe(String(ready))
    await store.sees(`Order ${ready}`)
    expect(refusedInside(store)).toHaveLength(1)
    await store.leave()
  })

  test('a member orders without a network, closes the page, and finds the order and its code with the network', async () => {
    const wanja = await visit(browser, { address: `${address}/member/`, screen: PHONE, locale: 'sw-KE' })
    wanja.page.on('dialog', (dialog) => void dialog.accept())
    await wanja.fill('Namba ya simu', member.phone.replace('+254', '0'))
    await wanja.fill('Namba ya siri', PIN)
    await wanja.press('Ingia')
    await wanja.heading('Habari, Wanja')
    await keptForLater(wanja, '/member/', 'member')
    // the page opens without a network, with what was last seen
    await network(wanja, false)
    await wanja.page.reload()
    await wanja.heading('Habari, Wanja')
    await wanja.sees(/^Hakuna mtandao\. Takwimu za \d\d:\d\d$/)
    await wanja.look('member-home-offline')
    await wanja.follow('Agiza chakula')
    await wanja.pressTwice(/^Agiza mifuko/)
    await wanja.heading('Maingizo kwenye simu hii')
    await wanja.sees(/^Oda: mifuko \d+, Chakula .*, kwa Kuku wa nyuma$/)
    await wanja.look('member-outbox')
    await wanja.page.reload()
    await wanja.sees(/^Hakuna mtandao\. Ingizo 1 linasubiri kwenye simu hii\./)
    const own = { where: { memberId: member.memberId ?? '' } }
    expect(await mill.db.order.count(own)).toBe(0)
    await network(wanja, true)
    await wanja.sees(/^imetumwa \d\d:\d\d$/)
    const orders = await mill.db.order.findMany(own)
    expect(orders).toMatchObject([{ status: 'ordered' }])
    await wanja.follow(`Ni oda ${orders[0]?.number ?? ''}.`)
    await wanja.sees(orders[0]?.collectionCode ?? 'no code')
    expect(refusedInside(wanja)).toEqual([])
    await wanja.leave()
  })
})

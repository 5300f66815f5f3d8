import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { chromium, type Browser, type Page } from 'playwright-core'
import { build, preview, type PreviewServer } from 'vite'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { makeVersion } from '../support/builders/formulas.js'
import { makeFlock } from '../support/builders/members.js'
import { prepareMill } from '../support/builders/mill.js'
import { dayFromNow } from '../support/builders/days.js'
import { makeOrder } from '../support/builders/orders.js'
import { openMill, type Mill } from '../support/mill.js'
import { PASSWORD, type TestUser } from '../support/users.js'

const browserPath = process.env['KINU_BROWSER']
const ARGS = ['--no-sandbox', '--disable-gpu', '--disable-background-networking', '--disable-component-update', '--disable-sync']
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')
const PHONE = { width: 360, height: 640 }

/** The members' pages as they are built, in a real browser against a real mill: `npm test` names one in KINU_BROWSER. */
describe.skipIf(!browserPath)('the member', { timeout: 60_000 }, () => {
  let mill: Mill
  let folder = ''
  let server: PreviewServer
  let browser: Browser
  let address = ''
  let versionId = ''

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    versionId = (await makeVersion(mill.db)).id
    const api = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    folder = mkdtempSync(join(tmpdir(), 'kinu-member-'))
    const outDir = { outDir: folder, emptyOutDir: true }
    await build({ configFile: 'admin/vite.config.ts', mode: 'member', logLevel: 'error', build: outDir })
    server = await preview({
      configFile: 'admin/vite.config.ts',
      mode: 'member',
      logLevel: 'error',
      build: outDir,
      preview: { port: 0, host: '127.0.0.1', proxy: { '/api': { target: api } } },
    })
    const bound = server.httpServer.address()
    address = `http://127.0.0.1:${typeof bound === 'object' && bound ? bound.port : 0}/member/`
    browser = await chromium.launch({ executablePath: browserPath ?? '', args: ARGS })
  }, 120_000)

  afterAll(async () => {
    await browser.close()
    await server.close()
    rmSync(folder, { recursive: true, force: true })
  })

  /** A member with 200 layers of 30 weeks, who signed in for real on a phone. */
  const member = async (): Promise<{ user: TestUser; flockId: string; page: Page }> => {
    const { user } = await mill.newUser({ role: 'member', name: 'Wanja Muriko', language: 'sw' })
    const { id: flockId } = await makeFlock(mill.db, { memberId: user.memberId ?? '' })
    const page = await browser.newPage({ viewport: PHONE, locale: 'en-GB' })
    page.setDefaultTimeout(20_000)
    await page.goto(address)
    await signIn(page, user)
    await page.getByRole('navigation').waitFor()
    return { user, flockId, page }
  }
  const signIn = async (page: Page, { phone }: TestUser): Promise<void> => {
    await page.getByLabel('Namba ya simu').fill(phone)
    await page.getByLabel('Namba ya siri').fill(PASSWORD)
    await page.getByRole('button', { name: 'Ingia' }).click()
  }
  const ordersOf = ({ memberId }: TestUser) => mill.db.order.findMany({ where: { memberId: memberId ?? '' } })
  const placeButton = (page: Page) => page.getByRole('button', { name: /^Agiza mifuko/ })

  test('places the proposed order with two taps after signing in, in Swahili, and is shown its code', async () => {
    const { user, page } = await member()
    await page.getByRole('link', { name: 'Agiza chakula' }).click()
    await placeButton(page).click()
    await page.getByRole('heading', { level: 1, name: /Oda \d+ imepokelewa/ }).waitFor()
    const [order, ...more] = await ordersOf(user)
    expect(more).toEqual([])
    expect(order).toMatchObject({ status: 'ordered', formulaVersionId: versionId })
    expect(await page.locator('main').textContent()).toContain(order?.collectionCode)
    await page.close()
  })

  test('whose answer was lost tries again, and it is counted once', async () => {
    const { user, page } = await member()
    let lost = 0
    await page.route('**/api/v1/orders', async (route) => {
      if (route.request().method() !== 'POST' || lost > 0) return route.continue()
      lost += 1
      await route.fetch()
      await route.abort('connectionreset')
    })
    await page.getByRole('link', { name: 'Agiza chakula' }).click()
    await placeButton(page).click()
    await page.getByRole('heading', { level: 1, name: /Oda \d+ imepokelewa/ }).waitFor()
    expect(lost).toBe(1)
    expect(await ordersOf(user)).toHaveLength(1)
    await page.close()
  })

  test('whose session ended is told so, and what was ordered goes out after signing in again, as it was typed', async () => {
    const { user, page } = await member()
    await page.getByRole('link', { name: 'Agiza chakula' }).click()
    const before = await placeButton(page).textContent()
    await page.getByRole('button', { name: 'Ongeza mfuko mmoja' }).click()
    const typed = await placeButton(page).textContent()
    expect(typed).not.toBe(before)
    await page.context().clearCookies()
    await placeButton(page).click()
    await page.getByText('Muda wako umekwisha').waitFor()
    expect(await ordersOf(user)).toEqual([])
    await signIn(page, user)
    await page.getByText(/^imetumwa \d\d:\d\d$/).waitFor()
    const bags = /mifuko (\d+)/.exec(typed ?? '')?.[1] ?? ''
    await page.getByText(`Oda: mifuko ${bags}, `).waitFor()
    const [order, ...others] = await ordersOf(user)
    expect(order?.kg.toFixed(0)).toBe(String(Number(bags) * 50))
    expect(others).toEqual([])
    await page.close()
  })

  test('cancels an order with a reason', async () => {
    const { flockId, page } = await member()
    const { id, number } = await makeOrder(mill.db, { flockId, formulaVersionId: versionId })
    await page.goto(`${address}#/orders/${id}`)
    await page.getByRole('link', { name: 'Futa oda' }).click()
    await page.getByLabel('Kwa nini unaifuta?').fill('Nimeuza kuku')
    await page.getByRole('button', { name: `Futa oda ${number}` }).click()
    await page.getByText('Sababu: Nimeuza kuku').waitFor()
    expect(await mill.db.order.findUnique({ where: { id } })).toMatchObject({ status: 'cancelled', cancelReason: 'Nimeuza kuku' })
    await page.close()
  })

  test('adds birds; what the mill refuses stands beside its field, and what was typed stays', async () => {
    const { user, page } = await member()
    await page.goto(`${address}#/birds/new`)
    await page.getByLabel('Aina ya kuku').selectOption('layer')
    await page.getByLabel('Tarehe ya kuanguliwa').fill('2099-01-01')
    await page.getByLabel('Unawaitaje').fill('Banda jipya')
    await page.getByLabel('Kuku wangapi').fill('150')
    await page.getByRole('button', { name: 'Ongeza kuku hawa' }).click()
    await page.getByText('Wakati huo haujafika').waitFor()
    expect(await page.getByLabel('Unawaitaje').inputValue()).toBe('Banda jipya')
    await page.getByLabel('Tarehe ya kuanguliwa').fill(dayFromNow(-70))
    await page.getByRole('button', { name: 'Ongeza kuku hawa' }).click()
    await page.getByRole('heading', { name: 'Banda jipya' }).waitFor()
    const added = await mill.db.flock.findMany({ where: { memberId: user.memberId ?? '', name: 'Banda jipya' } })
    expect(added).toMatchObject([{ birds: 150, flockType: 'layer', laying: false }])
    await page.close()
  })

  test.each(['light', 'dark', 'sunlight'])('%s: axe finds nothing serious, and nothing scrolls sideways from 320 px', async (theme) => {
    const { flockId, page } = await member()
    const { id } = await makeOrder(mill.db, { flockId, formulaVersionId: versionId, status: 'ready' })
    await page.getByRole('heading', { level: 1, name: 'Habari, Wanja' }).waitFor()
    await page.evaluate(`localStorage.setItem('kinu.theme', '${theme}')`)
    await page.reload()
    await page.addScriptTag({ content: AXE })
    for (const path of ['/', '/order', '/orders', `/orders/${id}`, '/birds', '/birds/new', `/birds/${flockId}`, '/account']) {
      await page.evaluate(`location.hash = '${path}'`)
      await page.locator('.k-loading').waitFor({ state: 'detached' })
      await page.locator('main .k-card, main form').first().waitFor()
      expect(await page.locator('.k-failure').count(), path).toBe(0)
      const serious: string[] = await page.evaluate(
        "axe.run().then(({ violations }) => violations.filter(({ impact }) => impact === 'serious' || impact === 'critical').map(({ id, nodes }) => id + nodes[0].html))",
      )
      expect(serious, path).toEqual([])
      for (const width of [360, 320]) {
        await page.setViewportSize({ ...PHONE, width })
        expect(await page.evaluate('document.documentElement.scrollWidth'), `${path} at ${width} px`).toBe(width)
      }
    }
    await page.close()
  })
})

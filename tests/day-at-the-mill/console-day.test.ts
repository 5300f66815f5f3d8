import type { Browser, Locator } from 'playwright-core'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { hashPassword } from '#features/access/password'
import { proveStock } from '#features/stock/prove-stock'
import { makeFlock } from '../support/builders/members.js'
import { prepareMill } from '../support/builders/mill.js'
import { makeMixer } from '../support/builders/orders.js'
import { BROWSER, DESK, openBrowser, PHONE, visit, type Visitor } from '../support/browser.js'
import { openMill, type Mill } from '../support/mill.js'
import { PASSWORD, createUser, type TestUser } from '../support/users.js'
import { addSupplier, stockTheStore } from './deliveries.js'

const PIN = '480172'
const ENGLISH = 'en-GB'
const SWAHILI = 'sw-KE'
/** Nobody is signed in when a sign-in page opens: the mill says so, and nothing else is refused. */
const REFUSED_AT_THE_DOOR = /^401 (GET|DELETE) \/session$/
const refusedInside = ({ refused }: Visitor): string[] => refused.filter((line) => !REFUSED_AT_THE_DOOR.test(line))

/** One day through the console as it is built, each person on a screen of the kind they have; what is clicked is what people click. */
describe.skipIf(BROWSER === '')('a day at the mill, on its screens', { timeout: 120_000 }, () => {
  let mill: Mill
  let browser: Browser
  let address = ''
  let nutritionist: TestUser
  let member: TestUser
  // What the day makes, from one test to the next: each continues where the one before stopped.
  const day = { lotId: '', lotNumber: 0, versionId: '', orderId: '', orderNumber: 0, code: '', flockId: '' }

  beforeAll(async () => {
    mill = await openMill()
    await prepareMill(mill.db)
    await makeMixer(mill.db)
    const [store, laboratory, manager] = [await mill.as('store-keeper'), await mill.as('laboratory'), await mill.as('manager')]
    await stockTheStore({ store, laboratory, manager }, await addSupplier(store, 'Ota Traders'))
    nutritionist = await createUser(mill.db, { role: 'nutritionist', name: 'Amina Okello' })
    member = await createUser(mill.db, { role: 'member', name: 'Wanja Muriko', language: 'sw' })
    await mill.db.appUser.update({ where: { id: member.id }, data: { passwordHash: await hashPassword(PIN) } })
    day.flockId = (await makeFlock(mill.db, { memberId: member.memberId ?? '', name: 'Kuku wa nyuma' })).id
    address = await mill.app.listen({ port: 0, host: '127.0.0.1' })
    browser = await openBrowser()
  }, 120_000)

  afterAll(() => browser.close())

  const atDesk = async ({ login }: TestUser): Promise<Visitor> => {
    const visitor = await visit(browser, { address, screen: DESK, locale: ENGLISH })
    await visitor.fill('E-mail or phone number', login)
    await visitor.fill('Password', PASSWORD)
    await visitor.press('Sign in')
    await visitor.page.getByRole('navigation').waitFor()
    return visitor
  }
  const onPhone = async (role: 'store-keeper' | 'mixer-operator', name: string): Promise<Visitor> => {
    const { login } = await createUser(mill.db, { role, name, language: 'sw' })
    const visitor = await visit(browser, { address, screen: PHONE, locale: SWAHILI })
    await visitor.look(`${role}-sign-in`)
    await visitor.fill('Barua pepe au namba ya simu', login)
    await visitor.fill('Nenosiri', PASSWORD)
    await visitor.press('Ingia')
    await visitor.page.getByRole('navigation').waitFor()
    return visitor
  }
  const main = ({ page }: Visitor): Locator => page.locator('main')

  test('the store keeper receives maize on the phone, in Swahili, and two taps make one lot', async () => {
    const before = await mill.db.lot.count()
    const juma = await onPhone('store-keeper', 'Juma Barasa')
    await juma.look('store-home')
    await juma.follow('Pokea mzigo')
    await juma.heading('Pokea mzigo')
    await juma.look('receive-empty')
    await juma.fill('Nini kimefika?', 'mahindi meupe')
    await juma.press('Mahindi meupe')
    await juma.page.getByLabel('Kutoka kwa nani?').selectOption({ label: 'Ota Traders' })
    await juma.fill('Magunia yaliyohesabiwa', '10')
    await juma.fill('Uzito halisi', '900')
    await juma.fill('Bei kwa kilo', '41.60')
    await juma.fill('Unyevu kwa kipima unyevu', '13.1')
    await juma.fill('Mahali stoo', 'Stoo A')
    await juma.pressTwice('Pokea mzigo')
    await juma.heading(/^Mzigo \d+$/)
    await juma.sees('umeshikiliwa')
    await juma.look('received')
    expect(await mill.db.lot.count()).toBe(before + 1)
    const { id, number, netKg, ...lot } = await mill.db.lot.findFirstOrThrow({ orderBy: { number: 'desc' } })
    expect(netKg.toFixed(3)).toBe('900.000')
    expect(lot).toMatchObject({ status: 'on-hold', ingredientId: 'maize_white', bags: 10 })
    await juma.follow(`Fungua mzigo ${number}`)
    await juma.heading(`Mzigo ${number}, Mahindi meupe`)
    await juma.sees('umeshikiliwa')
    await juma.look('lot-on-hold')
    await juma.follow('Stoo')
    await juma.heading('Mizigo')
    await juma.look('lots')
    expect(refusedInside(juma)).toEqual([])
    await juma.leave()
    Object.assign(day, { lotId: id, lotNumber: number })
  })

  test('the laboratory mistypes a protein, is told beside the field, and records what it measured', async () => {
    const lab = await atDesk((await mill.as('laboratory')).user)
    await lab.look('lab-home')
    await lab.follow('Record results')
    await lab.heading(`Record results of lot ${day.lotNumber}, White maize`)
    await lab.fill('Moisture', '13.0')
    await lab.fill('Protein', '82')
    await lab.press('Record results')
    const protein = lab.page.locator('#sample-CP')
    await lab.sees(/^Look again: usually .* you wrote 82 %$/)
    expect(await protein.getAttribute('aria-invalid')).toBe('true')
    expect(await protein.inputValue()).toBe('82')
    expect(await lab.page.locator('#sample-moisture').inputValue()).toBe('13.0')
    await lab.look('record-refused')
    expect(await mill.db.assay.count({ where: { lotId: day.lotId } })).toBe(0)
    await protein.fill('8.2')
    // the form asks for what this lot still waits for; anything else is chosen
    await lab.page.locator('#sample-aflatoxin_total').fill('4')
    await lab.page.getByLabel('Another analysis').selectOption({ label: 'ash' })
    await lab.page.locator('#sample-ash').fill('1.3')
    await lab.press('Record results')
    await lab.sees(/recorded \d\d:\d\d/)
    await lab.look('recorded')
    const assays = await mill.db.assay.findMany({ where: { lotId: day.lotId } })
    expect(Object.fromEntries(assays.map(({ analyte, value }) => [analyte, Number(value)]))).toEqual({
      moisture: 13,
      CP: 8.2,
      aflatoxin_total: 4,
      ash: 1.3,
    })
    expect(refusedInside(lab)).toEqual([`400 POST /lots/${day.lotId}/assays`])
    await lab.leave()
  })

  test('the manager reads the checks, and releases the lot on a page that says what it does', async () => {
    const manager = await atDesk((await mill.as('manager')).user)
    await manager.look('manager-home')
    await manager.follow('Decide')
    await manager.heading('Decide')
    await manager.look('decide')
    await manager.follow(`Decide: Lot ${day.lotNumber}, White maize`)
    await manager.heading(`Lot ${day.lotNumber}, White maize`)
    await manager.look('lot-tested')
    await manager.follow(`Release lot ${day.lotNumber}`)
    await manager.sees('900.0 kg may be used for feed from now on.')
    await manager.look('release')
    await manager.pressTwice(`Release lot ${day.lotNumber}`)
    await manager.sees('Released by Test manager')
    expect(await mill.db.lot.findUnique({ where: { id: day.lotId } })).toMatchObject({ status: 'released' })
    expect(refusedInside(manager)).toEqual([])
    await manager.leave()
  })

  test('the nutritionist drafts a feed, changes a limit, sees the mix, submits, and cannot approve it', async () => {
    const amina = await atDesk(nutritionist)
    await amina.look('nutritionist-home')
    await amina.follow('Formulas')
    await amina.look('formulas')
    await amina.follow('New formula')
    await amina.fill('Name in English', 'Layer mash')
    await amina.fill('Name in Swahili', 'Chakula cha kuku wa mayai')
    await amina.page.getByLabel('For which birds').selectOption({ label: 'layers at peak of lay' })
    await amina.page.getByRole('radio', { name: /^recommended default/i }).waitFor()
    await amina.look('formula-new')
    await amina.pressTwice('Begin this formula')
    await amina.heading('Layer mash, version 1')
    const answer = amina.page.getByRole('region', { name: 'The mix of now' })
    await answer.getByText('a tonne').first().waitFor()
    // a draft begins with the vitamins at their usual rate
    await answer.locator('.k-mix-row', { hasText: 'Vitamin-mineral premix' }).getByText('5.000 kg').waitFor()
    const protein = amina.page.getByRole('group', { name: 'protein', exact: true })
    await protein.getByLabel('at least').fill('16.5')
    await protein.getByText('16.5 %').waitFor()
    await protein.getByLabel('How sure, protein').selectOption({ label: '19 in 20' })
    await answer.getByText(/^Certainty costs/).waitFor()
    await answer.getByText('Surer than on average: protein, 19 in 20.').waitFor()
    await answer.getByText('When the mix changes').click()
    await answer.getByText(/^Certainty is asked for, so the mix moves a little with every price/).waitFor()
    expect(await answer.getByText(/changes a little with every price/).count()).toBe(0)
    await amina.look('draft-certain')
    await protein.getByLabel('How sure, protein').selectOption({ label: 'on average' })
    await protein.getByLabel('at most').fill('60')
    await protein.getByLabel('at least').fill('35')
    await answer.getByText(/^No mix of today's lots/).waitFor()
    await answer.getByRole('button', { name: /^Lower protein from 35/ }).waitFor()
    await amina.look('draft-infeasible')
    await answer.getByRole('button', { name: /^Lower protein from 35/ }).click()
    await answer.getByText('a tonne').first().waitFor()
    await protein.getByLabel('at least').fill('16.5')
    await protein.getByLabel('at most').fill('18.5')
    await protein.getByText('16.5 %').waitFor()
    // on a phone a limit is one line, which opens to be changed
    await amina.page.setViewportSize(PHONE)
    const folded = protein.locator('summary')
    expect(await folded.innerText()).toMatch(/protein\s+16\.5\s–\s18\.5\s+16\.5\s%/)
    expect(await protein.getByLabel('at least').isVisible()).toBe(false)
    await folded.press('Enter')
    await protein.getByLabel('at least').waitFor()
    await amina.look('draft-phone')
    // another language tells the page anew; what is typed and not saved stays
    await amina.press('Kiswahili')
    await amina.heading('Chakula cha kuku wa mayai, toleo la 1')
    const protini = amina.page.getByRole('group', { name: 'protini', exact: true })
    expect(await protini.getByLabel('angalau').inputValue()).toBe('16.5')
    expect(await protini.getByLabel('isizidi').inputValue()).toBe('18.5')
    await amina.look('draft-swahili')
    await amina.press('English')
    await amina.heading('Layer mash, version 1')
    await amina.press('Save the draft')
    await amina.sees(/Draft of version 1 recorded/)
    await amina.look('draft-saved')
    await amina.follow('Submit for approval')
    await amina.look('submit')
    await amina.press('Submit version 1')
    await amina.sees('You drafted or changed this version, so another person approves it.')
    expect(await amina.page.getByRole('link', { name: /^Approve/ }).count()).toBe(0)
    const versions = await mill.db.formulaVersion.findMany()
    expect(versions).toMatchObject([{ status: 'submitted', authorId: nutritionist.id }])
    day.versionId = versions[0]?.id ?? ''
    await amina.page.goto(`${address}/#/formula-versions/${day.versionId}/approve`)
    await amina.sees('Who submitted a version does not approve it. Ask another person.')
    expect(await amina.page.getByRole('button', { name: /^Approve/ }).count()).toBe(0)
    await amina.look('approve-own')
    expect(refusedInside(amina)).toEqual([])
    await amina.leave()
  })

  test('the manager approves it with the password, after a wrong one', async () => {
    const manager = await atDesk((await mill.as('manager')).user)
    await manager.follow('Decide')
    await manager.follow('Approve: Layer mash, version 1')
    await manager.heading('Approve Layer mash, version 1')
    await manager.sees('Ingredients a tonne, from the released lots of today')
    await manager.look('approve')
    await manager.fill('Your password, to sign this', 'a guess')
    await manager.press('Approve version 1')
    await manager.sees('Wrong password')
    await manager.fill('Your password, to sign this', PASSWORD)
    await manager.press('Approve version 1')
    await manager.sees('Approved by Test manager')
    expect(await mill.db.formulaVersion.findUnique({ where: { id: day.versionId } })).toMatchObject({ status: 'approved' })
    expect(refusedInside(manager)).toEqual([`403 POST /formula-versions/${day.versionId}/approve`])
    await manager.leave()
  })

  test('the member signs in with phone and PIN; two taps order what is proposed, once, and show the code', async () => {
    const wanja = await visit(browser, { address: `${address}/member/`, screen: PHONE, locale: SWAHILI })
    await wanja.look('member-sign-in')
    await wanja.fill('Namba ya simu', member.phone.replace('+254', '0'))
    await wanja.fill('Namba ya siri', PIN)
    await wanja.press('Ingia')
    await wanja.heading('Habari, Wanja')
    await wanja.look('member-home')
    await wanja.follow('Agiza chakula')
    await wanja.page.getByRole('button', { name: /^Agiza mifuko/ }).waitFor()
    await wanja.look('member-order')
    await wanja.pressTwice(/^Agiza mifuko/)
    await wanja.heading(/^Oda \d+ imepokelewa/)
    await wanja.look('member-receipt')
    const orders = await mill.db.order.findMany()
    expect(orders).toMatchObject([{ status: 'ordered', formulaVersionId: day.versionId, flockId: day.flockId }])
    Object.assign(day, { orderId: orders[0]?.id, orderNumber: orders[0]?.number, code: orders[0]?.collectionCode })
    await wanja.sees(day.code)
    await wanja.follow('Oda zangu')
    await wanja.look('member-orders')
    expect(refusedInside(wanja)).toEqual([])
    await wanja.leave()
  })

  test('the manager plans it: the mix is shown, and its stock is reserved', async () => {
    const manager = await atDesk((await mill.as('manager')).user)
    await manager.follow('Plan')
    await manager.heading('Plan')
    await manager.look('plan')
    await manager.follow('Plan', main(manager))
    await manager.page.getByRole('button', { name: 'Plan and reserve 200 kg' }).waitFor()
    await manager.sees(/^200 kg: .*Vitamin-mineral premix 1\.000 kg of lot/)
    await manager.look('plan-order')
    await manager.pressTwice('Plan and reserve 200 kg')
    await manager.heading(`Order ${day.orderNumber} is planned`)
    await manager.look('planned')
    const { _sum } = await mill.db.lot.aggregate({ _sum: { reservedKg: true } })
    expect(Number(_sum.reservedKg)).toBe(200)
    expect(await mill.db.batch.count()).toBe(1)
    expect(refusedInside(manager)).toEqual([])
    await manager.leave()
  })

  test('the mixer operator weighs every row, one outside its range, and fills the bags', async () => {
    const otieno = await onPhone('mixer-operator', 'Otieno Were')
    await otieno.look('mixer-home')
    await otieno.press(/^Anza mkupuo/)
    const field = otieno.page.getByLabel('Mizani inaonyesha nini')
    await field.waitFor()
    await otieno.look('weigh')
    const asked = async (): Promise<{ figure: number; unit: string }> => ({
      figure: Number(((await field.getAttribute('placeholder')) ?? '').replace(/[(),]/g, '')),
      unit: await otieno.page.locator('.k-input-unit').innerText(),
    })
    const askedKg = async (): Promise<number> => {
      const { figure, unit } = await asked()
      return unit === 'g' ? figure / 1000 : figure
    }
    const pollard = await mill.db.lot.findFirst({ where: { ingredientId: 'wheat_pollard' } })
    const lines = await mill.db.batchLine.findMany({ orderBy: [{ part: 'desc' }, { position: 'asc' }] })
    for (const [at, line] of lines.entries()) {
      await expect.poll(askedKg, { timeout: 20_000 }).toBe(Number(line.targetKg))
      const { figure, unit } = await asked()
      const outside = line.lotId === pollard?.id
      await field.fill(outside ? (figure * 1.02).toFixed(unit === 'g' ? 0 : 1) : String(figure))
      await otieno.press('ENDELEA')
      if (outside) {
        await otieno.sees(/^Umepima .* kinachoruhusiwa ni/)
        await otieno.look('weigh-outside')
        await otieno.press(/^Andika (gramu|kilo)/, main(otieno))
        await otieno.sees('Uzito nje ya ruhusa umeandikwa. Mwite meneja sasa.')
      }
      await expect.poll(() => mill.db.batchLine.count({ where: { actualKg: { not: null } } }), { timeout: 20_000 }).toBe(at + 1)
      await otieno.sees(/imeandikwa \d\d:\d\d/)
    }
    await otieno.sees('Mistari yote imepimwa.', main(otieno))
    await otieno.fill('Uzito wa mifuko yote', '199.8')
    await otieno.look('finish')
    await otieno.pressTwice('Kamilisha: 199.8 kg')
    await otieno.sees('199.8 kg = mifuko 3 ya kilo 50 na mfuko mmoja usiojaa wa 49.8 kg')
    await otieno.sees('umekamilika')
    await otieno.look('finished')
    expect(await mill.db.batch.findFirst()).toMatchObject({ status: 'done' })
    expect(await mill.db.order.findUnique({ where: { id: day.orderId } })).toMatchObject({ status: 'ready' })
    expect(await mill.db.discrepancy.findMany()).toMatchObject([{ kind: 'outside-allowed-range', closedAt: null }])
    expect(refusedInside(otieno)).toEqual([])
    await otieno.leave()
  })

  test('the counter hands the bags over against the code, not against another', async () => {
    const counter = await atDesk((await mill.as('counter-clerk')).user)
    await counter.look('counter-home')
    await counter.follow('Hand over')
    await counter.heading('Hand over feed')
    await counter.look('hand-over')
    await counter.press(`Hand over: Order ${day.orderNumber}, Wanja Muriko`)
    const typeCode = async (code: string): Promise<void> => {
      await counter.page.getByLabel('Digit 1').click()
      await counter.page.keyboard.type(code)
    }
    // one digit wrong: the three that stay are typed over themselves afterwards, and must move on all the same
    await typeCode(`${(Number(day.code[0]) + 1) % 10}${day.code.slice(1)}`)
    await counter.press('Hand over 199.8 kg')
    await counter.sees(`This is not the code of order ${day.orderNumber}`)
    await counter.look('hand-over-wrong')
    expect(await mill.db.order.findUnique({ where: { id: day.orderId } })).toMatchObject({ status: 'ready' })
    await typeCode(day.code)
    await counter.pressTwice('Hand over 199.8 kg')
    await counter.sees(/handed over to Wanja Muriko/)
    await counter.look('handed-over')
    expect(await mill.db.order.findUnique({ where: { id: day.orderId } })).toMatchObject({ status: 'collected' })
    expect(refusedInside(counter)).toEqual([`422 POST /orders/${day.orderId}/collect`])
    await counter.leave()
  })

  test('the manager traces a lot to the member and the member back, and the books are whole', async () => {
    const manager = await atDesk((await mill.as('manager')).user)
    await manager.look('manager-evening')
    await manager.follow('Trace')
    await manager.look('trace-empty')
    const trace = async (kind: string, number: number): Promise<void> => {
      await manager.page.getByLabel('Trace from').selectOption({ label: kind })
      await manager.fill('Its number', String(number))
      await manager.press('Trace', main(manager))
    }
    const soya = await mill.db.lot.findFirstOrThrow({ where: { ingredientId: 'soybean_cake_expeller' } })
    await trace('a lot', soya.number)
    await manager.sees(`Lot ${soya.number} went into 1 load, for 1 member.`)
    await manager.sees('Wanja Muriko')
    await manager.sees('It adds up to the gram.')
    await manager.look('trace-lot')
    const { number } = await mill.db.member.findFirstOrThrow({ where: { id: member.memberId ?? '' } })
    await trace('a member', number)
    const lots = new Set((await mill.db.batchLine.findMany()).flatMap(({ lotId }) => lotId ?? []))
    await manager.sees(`Member ${number} has feed of 1 load, made of ${lots.size} lots.`)
    await manager.sees('Ota Traders')
    await manager.look('trace-member')
    await manager.page.locator('summary', { hasText: 'Store and books' }).click()
    await manager.follow('Records')
    await manager.sees('Weight outside its range')
    await manager.look('records')
    await manager.follow('Proof of the books')
    await manager.heading('The books are whole.')
    await manager.look('proof')
    expect(await proveStock(mill.db)).toMatchObject({ whole: true, sumKg: '0.000', unbalancedTransfers: 0, auditBrokenAt: null })
    const { _sum } = await mill.db.stockEntry.aggregate({ where: { account: 'member', memberId: member.memberId }, _sum: { kg: true } })
    expect(_sum.kg?.toFixed(3)).toBe('199.800')
    expect(refusedInside(manager)).toEqual([])
    await manager.leave()
  })
})

import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { SupplierView } from '#contract/suppliers'
import { LotDetailView, LotView } from '#contract/lots'
import { MovementView } from '#contract/stock'
import { TraceView } from '#contract/tracing'
import { proveStock, reserveLots } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { dayFromNow } from '../../support/builders/days.js'
import { balanceOf, GOOD_MAIZE, makeMaize, type BuiltLot, type LotFacts } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder, mixAll, usualLines } from '../../support/builders/production.js'
import { makeLedgerPlace, type LedgerPlace } from '../../support/builders/stock.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
let place: LedgerPlace
let store: SignedIn
let manager: SignedIn
let laboratory: SignedIn
beforeAll(async () => {
  await prepareMill(mill.db)
  place = await makeLedgerPlace(mill.db)
  store = await mill.as('store-keeper')
  manager = await mill.as('manager')
  laboratory = await mill.as('laboratory')
})

const maize = (netKg: string, facts: LotFacts = {}): Promise<BuiltLot> => makeMaize(mill.db, netKg, facts)
type Part = readonly [lot: { readonly id: string }, kg: string]
type More = { readonly [name: string]: unknown }
const bodyOf = (kind: string, parts: readonly Part[], gotKg: string, more: More = {}) => ({
  kind,
  inputs: parts.map(([{ id }, kg]) => ({ lotId: id, kg })),
  gotKg,
  ...(kind === 'bin' ? { storagePlace: 'Bin 2' } : {}),
  ...more,
})
const post = (kind: string, parts: readonly Part[], gotKg: string, more: More = {}) =>
  store.post('/lots/made', bodyOf(kind, parts, gotKg, more))
const made = async (kind: string, parts: readonly Part[], gotKg: string, more: More = {}) => {
  const reply = await post(kind, parts, gotKg, more)
  expect(reply.status, reply.text).toBe(201)
  return reply.as(LotView)
}
const detail = async (id: string, who = manager) => (await who.get(`/lots/${id}`)).as(LotDetailView)
const undo = (id: string, who = manager) => who.post(`/lots/${id}/undo-making`, { reason: 'typed wrongly' })
const discrepancies = (lotId: string) => mill.db.discrepancy.findMany({ where: { lotId } })
const refused = async (reply: ReturnType<typeof post>) => {
  const { code, errors } = (await reply).problem()
  return [code, errors?.[0]?.path, errors?.[0]?.code]
}

describe('a made lot', () => {
  it('of two lots in a bin knows its parents with their kilograms, and they know it', async () => {
    const [one, other] = [await maize('600', { pricePerKg: '40' }), await maize('400', { pricePerKg: '45' })]
    const lot = await made(
      'bin',
      [
        [one, '600'],
        [other, '300'],
      ],
      '900',
    )
    expect(lot).toMatchObject({
      madeBy: 'bin',
      status: 'released',
      netKg: '900.000',
      freeKg: '900.000',
      storagePlace: 'Bin 2',
      ingredientId: 'maize_white',
    })
    // (600 x 40 + 300 x 45) / 900
    expect(lot.pricePerKg).toBe('41.6667')
    const { making, findings } = await detail(lot.id)
    expect(making?.parents.map(({ number, kg }) => [number, kg])).toEqual([
      [one.number, '600.000'],
      [other.number, '300.000'],
    ])
    expect(making).toMatchObject({ takenKg: '900.000', lossKg: '0.000', differs: false, mayUndo: true, undone: false })
    expect(findings.filter(({ severity }) => severity === 'block')).toEqual([])
    expect((await detail(other.id)).children.map(({ number, kg }) => [number, kg])).toEqual([[lot.number, '300.000']])
    expect(await balanceOf(mill.db, one.id)).toEqual({ onHandKg: '0.000', reservedKg: '0.000', status: 'used-up' })
    expect(await balanceOf(mill.db, other.id)).toMatchObject({ onHandKg: '100.000', status: 'released' })
    const movements = (await store.get('/stock-movements', { lotId: lot.id })).as(z.array(MovementView))
    expect(movements.map(({ kind, mayReverse }) => [kind, mayReverse])).toEqual([['bin', false]])
    expect((await proveStock(mill.db)).whole).toBe(true)
  })

  it('that was ground bears its dust: less of it for the same money', async () => {
    const lot = await maize('500', { pricePerKg: '40' })
    const ground = await made('grinding', [[lot, '500']], '497.5', { lossKind: 'dust' })
    // 500 x 40 / 497.5
    expect(ground.pricePerKg).toBe('40.2010')
    expect(await discrepancies(ground.id)).toEqual([])
    const [movement] = (await store.get('/stock-movements', { lotId: ground.id })).as(z.array(MovementView))
    expect(movement?.entries.map(({ account, kg }) => `${account} ${kg}`)).toEqual(['lot-free -500.000', 'lot-free 497.500', 'loss 2.500'])
  })

  it('that was dried is expected by its dry matter, takes the new moisture and holds the protein in fewer kilograms', async () => {
    const lot = await maize('1000', { assays: { ...GOOD_MAIZE, moisture: 25 } })
    // 11.24 % lighter from 25 to 15.5 %: D. Karki (South Dakota extension), 2019-10-25, read as an excerpt.
    const dry = await made('drying', [[lot, '1000']], '885', { lossKind: 'moisture', moistureBeforePct: 25, moistureAfterPct: 15.5 })
    const { making, composition } = await detail(dry.id)
    expect(making?.expectedKg).toBe('887.574')
    expect(dry.moisturePct).toBe(15.5)
    const protein = (values: typeof composition) => values.find(({ nutrient }) => nutrient === 'CP')?.value ?? Number.NaN
    expect(protein(composition) * (1 - 0.1124)).toBeCloseTo(protein((await detail(lot.id)).composition), 3)
    expect(await discrepancies(dry.id)).toEqual([])
  })

  it('that weighs otherwise than it should is recorded as it is, and the manager is told', async () => {
    const lot = await maize('1000')
    const dry = await made('drying', [[lot, '1000']], '860', { lossKind: 'moisture', moistureBeforePct: 25, moistureAfterPct: 15.5 })
    const [told] = await discrepancies(dry.id)
    expect(told).toMatchObject({ kind: 'making-differs', facts: { expectedKg: '887.574', gotKg: '860.000', differenceKg: '-27.574' } })
    const other = await maize('100')
    const more = await made('grinding', [[other, '100']], '104', { lossKind: 'not-explained' })
    expect((await discrepancies(more.id))[0]?.facts).toMatchObject({ differenceKg: '4.000' })
    expect((await proveStock(mill.db)).whole).toBe(true)
  })

  it('takes the earliest date, the strictest feeds and an open declaration from its parents', async () => {
    const one = await maize('100', { expiresOn: dayFromNow(40), medicationDeclared: true })
    const other = await maize('100', { expiresOn: dayFromNow(20) })
    await mill.db.lot.update({
      where: { id: one.id },
      data: { releasedFor: ['layer_peak'], retestOn: new Date(`${dayFromNow(9)}T00:00:00Z`) },
    })
    const lot = await made(
      'bin',
      [
        [one, '50'],
        [other, '50'],
      ],
      '100',
    )
    expect(lot).toMatchObject({
      expiresOn: dayFromNow(20),
      retestOn: dayFromNow(9),
      releasedFor: ['layer_peak'],
      medicationDeclared: false,
      status: 'released',
    })
  })

  it('waits for a person when a rule stands against a parent that is still released', async () => {
    const bad = await maize('100', { assays: { ...GOOD_MAIZE, aflatoxin_total: 60 } })
    const lot = await made('grinding', [[bad, '100']], '100')
    expect(lot.status).toBe('on-hold')
    expect(lot.statusReason).toContain(`lot ${bad.number}`)
  })

  it('stands in the lists of lots as any other, and the mill in no list of suppliers', async () => {
    const lot = await made('grinding', [[await maize('10'), '10']], '10')
    expect((await store.get('/lots', { q: String(lot.number) })).as(z.array(LotView)).map(({ id }) => id)).toContain(lot.id)
    const suppliers = (await store.get('/suppliers', { perPage: '100' })).as(z.array(SupplierView))
    expect(suppliers.map(({ id }) => id)).not.toContain(lot.supplierId)
    expect((await store.post(`/lots/${lot.id}/return`, { kg: '1', reason: 'to whom?' })).problem().code).toBe('wrong-state')
  })
})

describe('refused, with the field and what is allowed', () => {
  it('more than is free', async () => {
    const lot = await maize('100')
    const moved = { id: newId(), happenedAt: new Date(), actorId: place.actorId, orderId: place.orderId }
    await mill.db.$transaction((tx) => reserveLots(tx, { ...moved, lines: [{ lotId: lot.id, kg: '30' }], today: dayFromNow(0) }))
    const other = await maize('100')
    expect(
      await refused(
        post(
          'bin',
          [
            [other, '50'],
            [lot, '70.001'],
          ],
          '120.001',
        ),
      ),
    ).toEqual(['stock-short', 'inputs.1.kg', 'more-than-free'])
    expect(await balanceOf(mill.db, other.id)).toMatchObject({ onHandKg: '100.000' })
    expect((await post('grinding', [[lot, '70']], '70')).status).toBe(201)
  })

  it('an expired parent, one on hold, one rejected, one whose re-test is past', async () => {
    const expired = await maize('10', { expiresOn: dayFromNow(-1) })
    const retest = await maize('10')
    await mill.db.lot.update({ where: { id: retest.id }, data: { retestOn: new Date(`${dayFromNow(-1)}T00:00:00Z`) } })
    expect(await refused(post('grinding', [[expired, '5']], '5'))).toEqual(['lot-expired', 'inputs.0.kg', 'expired'])
    expect(await refused(post('grinding', [[retest, '5']], '5'))).toEqual(['lot-not-released', 'inputs.0.kg', 'retest-due'])
    for (const status of ['on-hold', 'rejected'] as const)
      expect(await refused(post('grinding', [[await maize('10', { status }), '5']], '5'))).toEqual([
        'lot-not-released',
        'inputs.0.kg',
        'not-released',
      ])
  })

  it('unlike ingredients (a mix), unlike medicine, one lot twice, an unknown lot, feeds with nothing in common', async () => {
    const [one, other] = [await maize('10'), await maize('10', { ingredientId: 'wheat_pollard' })]
    expect(
      await refused(
        post(
          'bin',
          [
            [one, '1'],
            [other, '1'],
          ],
          '2',
        ),
      ),
    ).toEqual(['bad-input', 'inputs.1.lotId', 'unlike-ingredient'])
    const medicated = await maize('10', { medication: { active: 'amprolium', strengthPct: 25 } })
    expect(
      await refused(
        post(
          'bin',
          [
            [one, '1'],
            [medicated, '1'],
          ],
          '2',
        ),
      ),
    ).toEqual(['bad-input', 'inputs.1.lotId', 'unlike-medicine'])
    expect(
      await refused(
        post(
          'bin',
          [
            [one, '1'],
            [one, '1'],
          ],
          '2',
        ),
      ),
    ).toEqual(['bad-input', 'inputs.1.lotId', 'twice'])
    expect(await refused(post('grinding', [[{ id: newId() }, '1']], '1'))).toEqual(['bad-input', 'inputs.0.lotId', 'unknown'])
    const [hens, pullets] = [await maize('10'), await maize('10')]
    await mill.db.lot.update({ where: { id: hens.id }, data: { releasedFor: ['layer_peak'] } })
    await mill.db.lot.update({ where: { id: pullets.id }, data: { releasedFor: ['broiler_starter_0_3wk'] } })
    expect(
      await refused(
        post(
          'bin',
          [
            [hens, '1'],
            [pullets, '1'],
          ],
          '2',
        ),
      ),
    ).toEqual(['bad-input', 'inputs', 'no-feed-left'])
  })

  it('figures that cannot be', async () => {
    const lot = await maize('100')
    const grind = (gotKg: string, more: More = {}) => refused(post('grinding', [[lot, '10']], gotKg, more))
    expect(await grind('9')).toEqual(['bad-input', 'lossKind', 'missing'])
    expect(await grind('9', { lossKind: 'moisture' })).toEqual(['bad-input', 'lossKind', 'only-drying'])
    expect(await grind('11', { lossKind: 'dust' })).toEqual(['bad-input', 'lossKind', 'more-than-taken'])
    expect(await grind('10', { lossKind: 'dust' })).toEqual(['bad-input', 'lossKind', 'no-loss'])
    expect(await grind('100', { lossKind: 'not-explained' })).toEqual(['bad-input', 'gotKg', 'twice-taken'])
    expect(await grind('10', { moistureAfterPct: 12 })).toEqual(['bad-input', 'moistureAfterPct', 'only-drying'])
    const long = new Date(Date.now() - 10 * 86_400_000).toISOString()
    expect(await grind('10', { happenedAt: long })).toEqual(['bad-input', 'happenedAt', 'before-delivery'])
    const dry = (more: More) => refused(post('drying', [[lot, '10']], '9', { lossKind: 'moisture', ...more }))
    expect(await dry({ moistureAfterPct: 12 })).toEqual(['bad-input', 'moistureBeforePct', 'missing'])
    expect(await dry({ moistureBeforePct: 12 })).toEqual(['bad-input', 'moistureAfterPct', 'missing'])
    expect(await dry({ moistureBeforePct: 12, moistureAfterPct: 12 })).toEqual(['bad-input', 'moistureAfterPct', 'not-drier'])
    expect(await refused(post('bin', [[lot, '1']], '1'))).toEqual(['bad-input', 'inputs', 'too-few'])
    expect(
      await refused(
        post(
          'bin',
          [
            [lot, '1'],
            [await maize('5'), '1'],
          ],
          '2',
          { storagePlace: '' },
        ),
      ),
    ).toEqual(['bad-input', 'storagePlace', 'missing'])
    expect((await post('pelleting', [[lot, '1']], '1')).status).toBe(400)
  })

  it('a wrong role', async () => {
    const lot = await maize('10')
    for (const role of ['laboratory', 'nutritionist', 'mixer-operator', 'counter-clerk', 'member'] as const)
      expect((await (await mill.as(role)).post('/lots/made', bodyOf('grinding', [[lot, '1']], '1'))).status).toBe(403)
    const own = await made('grinding', [[lot, '1']], '1')
    expect((await undo(own.id, store)).status).toBe(403)
  })
})

describe('at once', () => {
  it('a double click makes one lot', async () => {
    const lot = await maize('100')
    const key = newId()
    const body = bodyOf('grinding', [[lot, '40']], '40')
    const replies = await Promise.all([store.post('/lots/made', body, { key }), store.post('/lots/made', body, { key })])
    const again = await store.post('/lots/made', body, { key })
    expect(again.status).toBe(201)
    // The second of the two gets the same lot, or is told that the first is not finished.
    for (const { status, text } of replies) expect(status === 409 || JSON.parse(text).id === again.as(LotView).id).toBe(true)
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '60.000' })
    expect(await mill.db.lotParent.count({ where: { parentId: lot.id } })).toBe(1)
  })

  it('of two who take the last kilograms one gets them', async () => {
    const [lot, other] = [await maize('100'), await maize('100')]
    const replies = await Promise.all([
      post(
        'bin',
        [
          [lot, '60'],
          [other, '10'],
        ],
        '70',
      ),
      post(
        'bin',
        [
          [other, '10'],
          [lot, '60'],
        ],
        '70',
      ),
    ])
    expect(replies.map(({ status }) => status).toSorted()).toEqual([201, 409])
    expect(replies.find(({ status }) => status === 409)?.problem().code).toBe('stock-short')
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '40.000' })
    expect(await balanceOf(mill.db, other.id)).toMatchObject({ onHandKg: '90.000' })
    expect((await proveStock(mill.db)).whole).toBe(true)
  })
})

describe('undone', () => {
  it('gives everything back, with the reason, once; the parents are as before', async () => {
    const [one, other] = [await maize('60'), await maize('50')]
    const lot = await made(
      'bin',
      [
        [one, '60'],
        [other, '20'],
      ],
      '79.9',
      { lossKind: 'dust' },
    )
    expect((await undo(lot.id)).as(LotView)).toMatchObject({ status: 'used-up', onHandKg: '0.000', statusReason: 'typed wrongly' })
    expect(await balanceOf(mill.db, one.id)).toEqual({ onHandKg: '60.000', reservedKg: '0.000', status: 'released' })
    expect(await balanceOf(mill.db, other.id)).toMatchObject({ onHandKg: '50.000' })
    expect((await undo(lot.id)).problem().code).toBe('wrong-state')
    expect((await detail(lot.id)).making).toMatchObject({ undone: true, mayUndo: false })
    expect((await detail(one.id)).children).toEqual([])
    expect((await proveStock(mill.db)).whole).toBe(true)
    const { balance } = (await manager.get('/trace', { from: 'lot', number: String(one.number) })).as(TraceView)
    expect(balance).toMatchObject({ receivedKg: '60.000', usedKg: '0.000', onHandKg: '60.000', differenceKg: '0.000' })
  })

  it('is refused once some of it was used, set aside or counted, and for a lot that was delivered', async () => {
    const lot = await made('grinding', [[await maize('60'), '60']], '60')
    await made('grinding', [[lot, '1']], '1')
    const problem = (await undo(lot.id)).problem()
    expect(problem).toMatchObject({ code: 'wrong-state', errors: [{ code: 'made-lot-used' }] })
    expect(problem.errors?.[0]?.message).toBe('only while all 60.000 kg are there and nothing is set aside')
    const aside = await made('grinding', [[await maize('60'), '60']], '60')
    const moved = { id: newId(), happenedAt: new Date(), actorId: place.actorId, orderId: place.orderId }
    await mill.db.$transaction((tx) => reserveLots(tx, { ...moved, lines: [{ lotId: aside.id, kg: '1' }], today: dayFromNow(0) }))
    expect((await undo(aside.id)).problem().errors?.[0]?.code).toBe('made-lot-used')
    expect((await undo((await maize('5')).id)).problem().code).toBe('wrong-state')
  })
})

describe('a parent that turns out bad', () => {
  const twoLevels = async () => {
    const parent = await maize('100')
    const child = await made('grinding', [[parent, '60']], '60')
    const grandchild = await made(
      'bin',
      [
        [child, '30'],
        [await maize('30'), '30'],
      ],
      '60',
    )
    return { parent, child, grandchild }
  }
  const statusOf = async (lot: { id: string }) => (await balanceOf(mill.db, lot.id)).status

  it('and is rejected takes everything made of it out of use, and none of it is released before', async () => {
    const { parent, child, grandchild } = await twoLevels()
    expect((await manager.post(`/lots/${parent.id}/reject`, { reason: 'mould seen' }, { revision: 1 })).status).toBe(200)
    expect([await statusOf(child), await statusOf(grandchild)]).toEqual(['on-hold', 'on-hold'])
    const held = await detail(grandchild.id)
    expect(held.statusReason).toBe(`lot ${parent.number}: mould seen`)
    // said before anybody asks for it: which lots have to be released first
    expect(held.mayRelease).toBe(false)
    expect(held.findings.flatMap(({ ruleId, what }) => (ruleId === 'LOT-PART' ? [what.facts['lot']] : []))).toEqual(
      [parent, child].map(({ number }) => String(number)),
    )
    const release = await manager.post(`/lots/${grandchild.id}/release`, { reason: 'looks fine' }, { revision: held.revision })
    expect(release.problem().code).toBe('wrong-state')
  })

  it('and goes on hold takes them along; released again, they may be too', async () => {
    const { parent, child } = await twoLevels()
    const reply = await manager.post(`/lots/${parent.id}/hold`, { reason: 'weevils', until: null }, { revision: 1 })
    expect(await statusOf(child)).toBe('on-hold')
    const { revision } = reply.as(LotView)
    expect((await manager.post(`/lots/${parent.id}/release`, { reason: 'clean' }, { revision })).status).toBe(200)
    const released = await manager.post(`/lots/${child.id}/release`, { reason: 'clean' }, { revision: (await detail(child.id)).revision })
    expect(released.status, released.text).toBe(200)
  })

  it('and may enter some feed only takes them along; none is released for more', async () => {
    const { parent, grandchild } = await twoLevels()
    const stages = ['layer_peak']
    expect((await manager.post(`/lots/${parent.id}/limit`, { stages, reason: 'musty' }, { revision: 1 })).status).toBe(200)
    const limited = await detail(grandchild.id)
    expect(limited.releasedFor).toEqual(stages)
    const held = await manager.post(`/lots/${grandchild.id}/hold`, { reason: 'look again', until: null }, { revision: limited.revision })
    const { revision } = held.as(LotView)
    expect((await manager.post(`/lots/${grandchild.id}/release`, { reason: 'fine' }, { revision })).problem().errors?.[0]?.code).toBe(
      'wider-than-part',
    )
    expect((await manager.post(`/lots/${grandchild.id}/release`, { reason: 'fine', stages }, { revision })).status).toBe(200)
  })

  it('by a late result, though nothing is left of it', async () => {
    const parent = await maize('60')
    const child = await made('grinding', [[parent, '60']], '60')
    const result = { analyte: 'aflatoxin_total', value: 60, unit: 'ug/kg', method: 'ELISA', measuredOn: dayFromNow(0), confirmed: true }
    const reply = await laboratory.post(`/lots/${parent.id}/assays`, { laboratory: 'Ridge', results: [result] })
    expect(reply.status, reply.text).toBeLessThan(300)
    expect(await statusOf(child)).toBe('on-hold')
  })
})

it('a trace runs through two makings, to the supplier and to the member, and every balance adds up', async () => {
  const lines = await usualLines(mill.db)
  const [first] = lines
  const [delivered, other] = [await maize('3000'), await maize('2000')]
  const ground = await made('grinding', [[delivered, '2500']], '2490', { lossKind: 'dust' })
  const bin = await made(
    'bin',
    [
      [ground, '2000'],
      [other, '1000'],
    ],
    '3000',
  )
  const { id: mixerId } = await mill.db.mixer.findFirstOrThrow()
  const order = await makePlannedOrder(mill.db, { mixerId, lines: [{ lotId: bin.id, kg: first?.kg ?? 0 }, ...lines.slice(1)] })
  await mixAll(await mill.as('mixer-operator'), order)
  const traced = async (query: { [name: string]: string }) => (await manager.get('/trace', query)).as(TraceView)
  const forward = await traced({ from: 'lot', number: String(delivered.number) })
  const lots = (view: z.output<typeof TraceView>) => view.nodes.flatMap(({ kind, number }) => (kind === 'lot' ? [number] : []))
  expect(lots(forward)).toEqual([delivered.number, ground.number, bin.number])
  expect(forward.nodes.map(({ kind }) => kind)).toContain('member')
  expect(forward.balance).toEqual({
    receivedKg: '3000.000',
    usedKg: '2500.000',
    onHandKg: '500.000',
    otherKg: '0.000',
    differenceKg: '0.000',
  })
  const back = await traced({ from: 'order', id: order.orderId })
  expect(lots(back)).toEqual(expect.arrayContaining([delivered.number, other.number, ground.number, bin.number]))
  expect(back.nodes.map(({ id }) => id)).toContain(`supplier:${delivered.supplierId}`)
  expect(back.edges).toContainEqual({ from: `lot:${ground.id}`, to: `lot:${bin.id}`, kg: '2000.000', certain: true })
  const middle = await traced({ from: 'lot', number: String(ground.number) })
  expect(middle.balance).toMatchObject({
    receivedKg: '2500.000',
    usedKg: '2000.000',
    onHandKg: '490.000',
    otherKg: '10.000',
    differenceKg: '0.000',
  })
  const fromSupplier = await traced({ from: 'supplier', id: delivered.supplierId })
  expect(fromSupplier.nodes.map(({ id }) => id)).toContain(`order:${order.orderId}`)
  expect((await proveStock(mill.db)).whole).toBe(true)
}, 30_000)

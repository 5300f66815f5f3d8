import { beforeEach, describe, expect, it } from 'vitest'
import { MixView } from '#contract/formulas'
import { OrderDetailView } from '#contract/orders'
import { StockProofView } from '#contract/stock'
import { contentsForMix } from '#core/composition/contents'
import { parseKg } from '#core/quantity/mass'
import { loadMixLotsById } from '#features/lots/lots-for-mix'
import { limitsOf, makeVersion } from '../../support/builders/formulas.js'
import { balanceOf, makeLot } from '../../support/builders/lots.js'
import { makeFlock } from '../../support/builders/members.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { makeLayerLots, makeMixer, makeOrder, type LayerLots } from '../../support/builders/orders.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const version = await makeVersion(mill.db, { nameEn: 'Layer mash' })
await makeMixer(mill.db)
const manager = await mill.as('manager')

/** Every test has a store of its own: what others left is set aside as rejected. */
let lots: LayerLots
const newStore = async (netKg: { readonly [ingredientId: string]: string } = {}): Promise<void> => {
  await mill.db.lot.updateMany({ data: { status: 'rejected' } })
  lots = await makeLayerLots(mill.db, netKg)
}
beforeEach(() => newStore())

const plan = (order: { id: string; revision: number }, agent = manager, body: object = {}) =>
  agent.post(`/orders/${order.id}/plan`, body, { revision: order.revision })
const newOrder = (kg = '1200.000') => makeOrder(mill.db, { formulaVersionId: version.id, kg })
const reservedKg = async (): Promise<number> => {
  const balances = await Promise.all(Object.values(lots).map(({ id }) => balanceOf(mill.db, id)))
  return balances.reduce((sum, balance) => sum + parseKg(balance.reservedKg), 0) / 1000
}

describe('planning an order', () => {
  it('makes equal loads within the mixer, reserves what the loads take by lot, and keeps the mix', async () => {
    const order = await newOrder()
    const planned = (await plan(order)).as(OrderDetailView)
    expect(planned).toMatchObject({ status: 'planned', revision: order.revision + 1 })
    expect(planned.batches.map(({ loadKg, status }) => [loadKg, status])).toEqual([
      ['400.000', 'planned'],
      ['400.000', 'planned'],
      ['400.000', 'planned'],
    ])
    // the search asks for a ten-thousandth (divide-order.ts) and whole bags may cost up to 0.1 % (decision 31); past its time it says so
    for (const { gapPct, proven, bagsCostPct } of planned.batches) {
      expect(gapPct).toBeGreaterThanOrEqual(0)
      // whole bags may cost a thousandth of the load (DEVELOPERS.md, decision 31), and that is part of the gap
      expect(bagsCostPct).toBeGreaterThanOrEqual(0)
      expect(bagsCostPct).toBeLessThanOrEqual(Math.min(0.1, gapPct ?? 0))
      expect(proven === false || (gapPct ?? 1) <= 0.12).toBe(true)
    }
    expect(await reservedKg()).toBe(1200)
    expect(planned.mix?.kind).toBe('optimal')
    const kept = await mill.db.order.findUniqueOrThrow({ where: { id: order.id } })
    expect(kept.mixHash).toMatch(/^[0-9a-f]{64}$/)
    expect(kept.mix).toMatchObject({ inputHash: kept.mixHash, solver: expect.stringMatching(/GLPK|HiGHS/) })
    const proof = (await manager.get('/stock-proof')).as(StockProofView)
    expect(proof).toMatchObject({ whole: true, unbalancedTransfers: 0, lotDifferences: [] })
  })

  it('writes a sheet whose rows sum to the load, with a running total and a range around every target', async () => {
    const order = await newOrder('450.000')
    const planned = (await plan(order)).as(OrderDetailView)
    const lines = await mill.db.batchLine.findMany({
      where: { batchId: planned.batches[0]?.id ?? '' },
      orderBy: [{ part: 'asc' }, { position: 'asc' }],
    })
    const rows = lines.filter(({ part }) => part === 'load')
    let running = 0
    for (const row of rows) {
      running += Number(row.targetKg)
      expect(Number(row.runningKg)).toBeCloseTo(running, 6)
      expect(row.allowedLowKg.lte(row.targetKg) && row.allowedHighKg.gte(row.targetKg)).toBe(true)
    }
    expect(running).toBeCloseTo(450, 6)
    // what is not in a lot's own row is in the box of the pre-blend, which weighs what its row in the load says
    const box = lines.filter(({ part }) => part === 'pre-blend').reduce((sum, { targetKg }) => sum + Number(targetKg), 0)
    expect(box).toBeCloseTo(Number(rows.find(({ lotId }) => lotId === null)?.targetKg ?? 0), 6)
    const byLot = new Map<string, number>()
    for (const { lotId, targetKg } of lines) if (lotId !== null) byLot.set(lotId, (byLot.get(lotId) ?? 0) + Number(targetKg))
    for (const [lotId, kg] of byLot) expect(Number((await balanceOf(mill.db, lotId)).reservedKg)).toBeCloseTo(kg, 6)
  })

  it('keeps every limit in the weighed load, not only in the solved mix', async () => {
    const planned = (await plan(await newOrder('500.000'))).as(OrderDetailView)
    const lines = await mill.db.batchLine.findMany({ where: { batchId: planned.batches[0]?.id ?? '', lotId: { not: null } } })
    const kgOf = (id: string): number => lines.filter(({ lotId }) => lotId === id).reduce((sum, { targetKg }) => sum + Number(targetKg), 0)
    // the laboratory's figures of the lots: 8.23 % and 45 % protein
    const proteinPct = (8.23 * kgOf(lots.maize_white.id) + 45 * kgOf(lots.soybean_meal_44.id)) / 500
    expect(proteinPct).toBeGreaterThanOrEqual(16.5 - 1e-9)
    expect(proteinPct).toBeLessThan(16.6)
  })

  it('shows beforehand the mix an order would get, to staff only, and writes nothing', async () => {
    const order = await newOrder()
    const before = await mill.db.auditEntry.count()
    expect((await manager.get(`/orders/${order.id}/solution`)).as(MixView)).toMatchObject({ kind: 'optimal', batchKg: '1200.000' })
    expect((await (await mill.as('member')).get(`/orders/${order.id}/solution`)).problem().code).toBe('not-allowed')
    expect(await mill.db.order.findUniqueOrThrow({ where: { id: order.id } })).toMatchObject({ status: 'ordered', mix: null })
    expect(await mill.db.auditEntry.count()).toBe(before)
  })

  it('mixes what it believes of two feeds (near 45 % and 8.23 % protein) to 18 % as the square has it, in every load', async () => {
    // Common practice, no source: the parts are the differences to 18, from what is believed of each lot after its result. The share of limestone and salt is fixed, so that only the two feeds move.
    const fixed = [
      { ingredientId: 'limestone', minPct: 9, maxPct: 9 },
      { ingredientId: 'salt', minPct: 0.4, maxPct: 0.4 },
    ]
    const square = await makeVersion(mill.db, {
      limits: limitsOf({ nutrients: [{ nutrient: 'CP', min: 0.906 * 18 }], ingredients: fixed }),
    })
    const order = await makeOrder(mill.db, { formulaVersionId: square.id, kg: '500.000' })
    const planned = (await plan(order)).as(OrderDetailView)
    expect(planned.batches).toHaveLength(1)
    const soyaKg = Number((await balanceOf(mill.db, lots.soybean_meal_44.id)).reservedKg)
    const believed = await loadMixLotsById(mill.db, [lots.soybean_meal_44.id, lots.maize_white.id])
    const proteinOf = (id: string): number => {
      const lot = believed.find((one) => one.id === id)
      const content = lot === undefined ? undefined : contentsForMix(lot.composition, new Map()).CP
      return typeof content === 'number' ? content : expect.fail('protein is not known')
    }
    const [soya, maize] = [proteinOf(lots.soybean_meal_44.id), proteinOf(lots.maize_white.id)]
    expect([Math.abs(soya - 45) < 1, Math.abs(maize - 8.23) < 0.5]).toEqual([true, true])
    expect(soyaKg).toBeCloseTo((0.906 * 500 * (18 - maize)) / (soya - maize), 0)
  })
})

describe('an order whose version was replaced', () => {
  it('is mixed by the version that is approved now, at the price that was agreed', async () => {
    const first = await makeVersion(mill.db)
    const order = await makeOrder(mill.db, { formulaVersionId: first.id, kg: '100.000' })
    await mill.db.formulaVersion.update({ where: { id: first.id }, data: { status: 'withdrawn' } })
    expect((await plan(order)).problem().code).toBe('formula-not-approved')
    const second = await makeVersion(mill.db, { formulaId: first.formulaId, pricePerKg: '99.0000' })
    expect((await plan(order)).as(OrderDetailView)).toMatchObject({ formulaVersionId: second.id, pricePerKg: '55.2000' })
  })
})

describe('an order that cannot be made', () => {
  const unchanged = async (order: { id: string }): Promise<void> => {
    expect(await mill.db.order.findUniqueOrThrow({ where: { id: order.id } })).toMatchObject({ status: 'ordered', revision: 1 })
    expect(await mill.db.batch.count({ where: { orderId: order.id } })).toBe(0)
    expect(await mill.db.stockTransfer.count({ where: { orderId: order.id } })).toBe(0)
  }

  it('is answered with the limits and stocks that conflict when the store cannot give it', async () => {
    await newStore({ soybean_meal_44: '50.000' })
    const order = await newOrder('2000.000')
    const problem = (await plan(order)).problem()
    expect(problem.code).toBe('order-infeasible')
    const text = JSON.stringify(problem)
    expect(text).toContain('"nutrient":"CP"')
    expect(text).toContain(`"lotNumber":${lots.soybean_meal_44.number}`)
    await unchanged(order)
  })

  it('is refused when a lot is rejected between the solve and the reservation', async () => {
    const order = await newOrder()
    const reject = async (): Promise<void> => {
      await mill.db.lot.update({ where: { id: lots.maize_white.id }, data: { status: 'rejected' } })
    }
    const slow = {
      ...mill.pool,
      formulate: async (problem: Parameters<typeof mill.pool.formulate>[0]) => mill.pool.formulate(problem).finally(reject),
    }
    const { execute } = await import('#platform/execute')
    const { planOrder } = await import('#features/planning/plan-order')
    const { user } = manager
    const actor = { userId: user.id, role: 'manager' as const, memberId: null, name: user.name, language: 'en' as const }
    const input = { id: order.id, revision: order.revision, mixerId: null }
    await expect(execute({ ...mill.deps, pool: slow }, planOrder, { actor, input })).rejects.toMatchObject({ code: 'lot-not-released' })
    await unchanged(order)
    expect(await reservedKg()).toBe(0)
  })

  it('is refused when the laboratory said something new of a lot in the meantime', async () => {
    const order = await newOrder()
    const test = async (): Promise<void> => {
      const data = {
        method: 'again',
        laboratory: 'Test laboratory',
        measuredOn: new Date(),
        recordedAt: new Date(),
        recordedBy: manager.user.id,
      }
      await mill.db.assay.create({
        data: { ...data, id: crypto.randomUUID(), lotId: lots.maize_white.id, analyte: 'aflatoxin_total', value: 50, unit: 'ug/kg' },
      })
    }
    const slow = {
      ...mill.pool,
      formulate: async (problem: Parameters<typeof mill.pool.formulate>[0]) => mill.pool.formulate(problem).finally(test),
    }
    const { execute } = await import('#platform/execute')
    const { planOrder } = await import('#features/planning/plan-order')
    const { user } = manager
    const actor = { userId: user.id, role: 'manager' as const, memberId: null, name: user.name, language: 'en' as const }
    const input = { id: order.id, revision: order.revision, mixerId: null }
    await expect(execute({ ...mill.deps, pool: slow }, planOrder, { actor, input })).rejects.toMatchObject({ code: 'stale-revision' })
    await unchanged(order)
  })

  it('is blocked when a lot holds more mould poison than the birds bear', async () => {
    // no rule for lots speaks of soya in Kenya, so that only the mix shows it (rule AF-REC-03 for layers)
    await mill.db.lot.updateMany({ where: { id: lots.soybean_meal_44.id }, data: { status: 'rejected' } })
    await makeLot(mill.db, { ingredientId: 'soybean_meal_44', netKg: '5000.000', assays: { CP: 44, moisture: 11, aflatoxin_total: 900 } })
    const order = await newOrder()
    const problem = (await plan(order)).problem()
    expect(problem.code).toBe('safety-block')
    expect(JSON.stringify(problem)).toContain('aflatoxin')
    await unchanged(order)
  })

  it('is told the least the mixer mixes, and what the scale can show', async () => {
    const small = (await plan(await newOrder('20.000'))).problem()
    expect(small).toMatchObject({
      status: 400,
      code: 'bad-input',
      errors: [{ path: 'kg', code: 'below-mixer-minimum', facts: { minLoadKg: '50.000' } }],
    })
  })

  it('is refused to other roles, with a stale revision, for an unknown mixer, twice, and without an approved version', async () => {
    const order = await newOrder('100.000')
    for (const role of ['nutritionist', 'store-keeper', 'laboratory', 'mixer-operator', 'counter-clerk', 'member'] as const) {
      expect((await plan(order, await mill.as(role))).problem().code).toBe('not-allowed')
    }
    expect((await plan({ ...order, revision: 7 })).problem().code).toBe('stale-revision')
    expect((await plan(order, manager, { mixerId: crypto.randomUUID() })).problem().errors?.[0]?.path).toBe('mixerId')
    expect((await plan(order)).status).toBe(200)
    expect((await plan({ ...order, revision: 2 })).problem().code).toBe('wrong-state')
    const withdrawn = await makeVersion(mill.db, { status: 'withdrawn' })
    expect((await plan(await makeOrder(mill.db, { formulaVersionId: withdrawn.id }))).problem().code).toBe('formula-not-approved')
  })

  it('is refused when the birds have grown past the feed since the day it was due', async () => {
    const { id: formulaVersionId } = await makeVersion(mill.db, {
      stage: 'layer_grower_6_12wk',
      limits: { nutrients: [{ nutrient: 'Ca', min: 0.9, max: 1.2 }] },
    })
    const flockId = (await makeFlock(mill.db, { ageWeeks: 24 })).id
    // Ten weeks old on the day it was due, hens of 24 weeks today.
    const order = await makeOrder(mill.db, { formulaVersionId, flockId, kg: '100.000', dueOn: dayFromNow(-98) })
    const refused = await plan(order)
    expect(refused.problem().code).toBe('safety-block')
    // The calcium that hens need for the shell.
    expect(refused.text).toContain('CA-05')
    expect(await reservedKg()).toBe(0)
  })

  it('can be cancelled while the manager holds a load that nobody weighed', async () => {
    const order = await newOrder('400.000')
    const planned = (await plan(order)).as(OrderDetailView)
    const [batch] = planned.batches
    await manager.post(`/batches/${batch?.id ?? ''}/hold`, { reason: 'wait' }, { revision: 1 })
    const reply = await manager.post(`/orders/${order.id}/cancel`, { reason: 'birds sold' }, { revision: planned.revision })
    expect(reply.status, reply.text).toBe(200)
    expect(await reservedKg()).toBe(0)
    expect(await mill.db.batch.count({ where: { orderId: order.id, status: 'cancelled' } })).toBe(1)
  })

  it('gives its stock back when it is cancelled after planning', async () => {
    const order = await newOrder()
    const planned = (await plan(order)).as(OrderDetailView)
    expect(await reservedKg()).toBe(1200)
    const reply = await manager.post(`/orders/${order.id}/cancel`, { reason: 'birds sold' }, { revision: planned.revision })
    expect(reply.status, reply.text).toBe(200)
    expect(await reservedKg()).toBe(0)
    expect(await mill.db.batch.count({ where: { orderId: order.id, status: 'cancelled' } })).toBe(3)
    expect((await manager.get('/stock-proof')).as(StockProofView).whole).toBe(true)
  })
})

describe('at the same moment', () => {
  it('two managers plan one order: one wins, and it is reserved once', async () => {
    const order = await newOrder()
    const other = await mill.newUser({ role: 'manager' })
    const replies = await Promise.all([plan(order), plan(order, other)])
    expect(replies.map(({ status }) => status).filter((status) => status === 200)).toHaveLength(1)
    expect(await reservedKg()).toBe(1200)
    expect(await mill.db.batch.count({ where: { orderId: order.id } })).toBe(3)
  })

  it('eight orders want the same scarce soya: none is promised more than there is, and what is promised is reserved', async () => {
    // a tonne takes about 300 kg of soya
    await newStore({ soybean_meal_44: '1000.000' })
    const flock = await makeFlock(mill.db)
    const orders = await Promise.all(
      Array.from({ length: 8 }, () => makeOrder(mill.db, { formulaVersionId: version.id, kg: '1000.000', flockId: flock.id })),
    )
    const replies = await Promise.all(orders.map((order) => plan(order)))
    const granted = replies.filter(({ status }) => status === 200)
    expect(granted.length).toBeGreaterThan(0)
    expect(granted.length).toBeLessThan(8)
    const soya = await balanceOf(mill.db, lots.soybean_meal_44.id)
    expect(Number(soya.reservedKg)).toBeLessThanOrEqual(1000)
    // acknowledged grants, not the balance: every one of them has its tonne in loads and in the ledger
    expect(await reservedKg()).toBe(1000 * granted.length)
    const loads = await mill.db.batch.aggregate({ where: { orderId: { in: orders.map(({ id }) => id) } }, _sum: { loadKg: true } })
    expect(Number(loads._sum.loadKg)).toBe(1000 * granted.length)
    expect((await manager.get('/stock-proof')).as(StockProofView).whole).toBe(true)
  })
})

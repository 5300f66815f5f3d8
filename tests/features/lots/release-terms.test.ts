import { beforeAll, describe, expect, it } from 'vitest'
import { MixView } from '#contract/formulas'
import { LotDetailView, LotView, RequiredTestView, TestMatrixView } from '#contract/lots'
import { loadComposition } from '#features/lots/lot-composition'
import { loadCheckContext, releaseFindings } from '#features/lots/lot-safety'
import { withNames } from '#features/lots/lot-view'
import { reserveLots } from '#features/stock/ledger'
import { newId } from '#platform/new-id'
import { limitsOf, makeVersion } from '../../support/builders/formulas.js'
import { dayFromNow } from '../../support/builders/days.js'
import { balanceOf, makeLot, type LotFacts } from '../../support/builders/lots.js'
import { makeFlock } from '../../support/builders/members.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeLayerLots, makeMixer, makeOrder } from '../../support/builders/orders.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const GOOD = { moisture: 12, CP: 8.2, aflatoxin_total: 4 }
const held = (facts: LotFacts = {}) => makeLot(mill.db, { status: 'on-hold', assays: GOOD, ...facts })
const manager = () => mill.as('manager')
const REASON = { reason: 'tried by a test' }
const reserve = (lotId: string, stage?: string) =>
  mill.db.$transaction(async (tx) => {
    const actorId = (await mill.db.appUser.findFirstOrThrow({ where: { role: 'manager' } })).id
    const order = await makeOrder(mill.db)
    const movement = { id: newId(), orderId: order.id, happenedAt: new Date(), actorId, today: dayFromNow(0) }
    await reserveLots(tx, { ...movement, lines: [{ lotId, kg: '1.000' }], ...(stage === undefined ? {} : { stage }) })
  })
const day = (n: number): Date => new Date(`${dayFromNow(n)}T00:00:00Z`)

describe('a release for some stages only', () => {
  it('asks why, keeps the stages and tells them in the history', async () => {
    const lot = await held()
    const agent = await manager()
    const stages = ['broiler_starter_0_3wk']
    expect((await agent.post(`/lots/${lot.id}/release`, { stages }, { revision: 1 })).problem().errors?.[0]?.path).toBe('reason')
    expect((await agent.post(`/lots/${lot.id}/release`, { stages: ['cows'], ...REASON }, { revision: 1 })).status).toBe(400)
    const reply = await agent.post(`/lots/${lot.id}/release`, { stages, ...REASON }, { revision: 1 })
    expect(reply.as(LotView)).toMatchObject({ status: 'released', releasedFor: stages })
    const audit = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: lot.id, action: 'lot.released' } })
    expect(audit.facts).toMatchObject({ stages })
  })

  it('is offered to that stage and to no other, which is told that it is left out', async () => {
    await mill.db.lot.updateMany({ data: { status: 'rejected' } })
    const lot = await held()
    const stages = ['broiler_starter_0_3wk']
    await (await manager()).post(`/lots/${lot.id}/release`, { stages, ...REASON }, { revision: 1 })
    const solve = async (stage: string) =>
      (await (await mill.as('nutritionist')).post('/solve', { stage, limits: limitsOf({}), batchKg: '100' })).as(MixView)
    expect((await solve('broiler_starter_0_3wk')).amounts.map(({ lotId }) => lotId)).toEqual([lot.id])
    const layers = await solve('layer_peak')
    expect(layers.amounts).toEqual([])
    expect(layers.leftOut).toContainEqual(expect.objectContaining({ lotId: lot.id, reason: 'for-other-feeds' }))
  })

  it('can be set aside for that stage only, whatever a plan was worked out from', async () => {
    const lot = await held()
    await (await manager()).post(`/lots/${lot.id}/release`, { stages: ['broiler_starter_0_3wk'], ...REASON }, { revision: 1 })
    await expect(reserve(lot.id, 'layer_peak')).rejects.toMatchObject({ code: 'lot-not-released' })
    await expect(reserve(lot.id)).rejects.toMatchObject({ code: 'lot-not-released' })
    await reserve(lot.id, 'broiler_starter_0_3wk')
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ reservedKg: '1.000' })
  })

  it('refuses to begin a load that was planned before the lot was limited, and tells the manager what was set aside', async () => {
    await mill.db.lot.updateMany({ data: { status: 'rejected' } })
    const lots = await makeLayerLots(mill.db)
    await makeMixer(mill.db)
    const version = await makeVersion(mill.db)
    const flock = await makeFlock(mill.db, { ageWeeks: 30, laying: true })
    const order = await makeOrder(mill.db, { formulaVersionId: version.id, flockId: flock.id, kg: '200.000' })
    const agent = await manager()
    expect((await agent.post(`/orders/${order.id}/plan`, {}, { revision: order.revision })).status).toBe(200)
    const limited = await agent.post(
      `/lots/${lots.maize_white.id}/limit`,
      { stages: ['broiler_starter_0_3wk'], ...REASON },
      { revision: 1 },
    )
    expect(limited.as(LotView)).toMatchObject({ status: 'released', releasedFor: ['broiler_starter_0_3wk'] })
    const batch = await mill.db.batch.findFirstOrThrow({ where: { orderId: order.id } })
    const start = await (await mill.as('mixer-operator')).post(`/batches/${batch.id}/start`, {}, { revision: 1 })
    expect(start.problem().code).toBe('safety-block')
    expect(JSON.stringify(start.body)).toContain('lot-not-for-stage')
    const told = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: lots.maize_white.id } })
    expect(told.kind).toBe('limited-lot-reserved')
    // only narrower: more stages need a new release
    const wider = { stages: ['layer_peak'], ...REASON }
    expect((await agent.post(`/lots/${lots.maize_white.id}/limit`, wider, { revision: 2 })).problem().errors?.[0]?.code).toBe('wider')
  })
})

describe('a hold until a day', () => {
  it('lets nobody release the lot before that day, and the day only become later', async () => {
    const lot = await held()
    const agent = await manager()
    const hold = (until: string | null, revision: number) =>
      agent.post(`/lots/${lot.id}/hold`, { reason: 'fumigated with phosphine', until }, { revision })
    expect((await hold(dayFromNow(0), 1)).problem().errors?.[0]?.path).toBe('until')
    expect((await hold(dayFromNow(7), 1)).as(LotView)).toMatchObject({ status: 'on-hold', holdUntil: dayFromNow(7) })
    const release = await agent.post(`/lots/${lot.id}/release`, REASON, { revision: 2 })
    expect(release.problem().code).toBe('safety-block')
    expect(JSON.stringify(release.body)).toContain('lot-held-until')
    expect((await agent.get(`/lots/${lot.id}`)).as(LotDetailView).mayRelease).toBe(false)
    expect((await hold(dayFromNow(3), 2)).problem().errors?.[0]?.path).toBe('until')
    expect((await hold(null, 2)).as(LotView).holdUntil).toBe(dayFromNow(7))
    await mill.db.lot.update({ where: { id: lot.id }, data: { holdUntil: day(0) } })
    expect((await agent.post(`/lots/${lot.id}/release`, {}, { revision: 3 })).as(LotView)).toMatchObject({
      status: 'released',
      holdUntil: null,
    })
  })

  it('cannot be a slip of the pen that nobody could take back', async () => {
    const lot = await held()
    const agent = await manager()
    const until = `${Number(dayFromNow(0).slice(0, 4)) + 1}-12-31`
    for (const wrong of [until, '9999-12-31'])
      expect((await agent.post(`/lots/${lot.id}/hold`, { ...REASON, until: wrong }, { revision: 1 })).problem().errors?.[0]).toMatchObject({
        path: 'until',
        code: 'day-too-late',
        facts: { latest: dayFromNow(90) },
      })
    expect((await agent.post(`/lots/${lot.id}/hold`, { ...REASON, until: dayFromNow(90) }, { revision: 1 })).status).toBe(200)
  })

  it('ends with the midnight of the mill, not with that of the server', async () => {
    const lot = await held()
    // 21:00 UTC is midnight in Nairobi
    const [before, after] = [new Date('2026-12-03T20:59:59Z'), new Date('2026-12-03T21:00:01Z')]
    await mill.db.lot.update({ where: { id: lot.id }, data: { holdUntil: new Date('2026-12-04T00:00:00Z') } })
    const row = await mill.db.lot.findUniqueOrThrow({ where: { id: lot.id }, include: withNames })
    const composition = await loadComposition(mill.db, row)
    const codes = async (now: Date) =>
      releaseFindings({ row, composition }, await loadCheckContext(mill.db, now), [], null).map(({ what }) => what.code)
    expect(await codes(before)).toContain('lot-held-until')
    expect(await codes(after)).not.toContain('lot-held-until')
  })

  it('takes a released lot out of use and tells the manager what was set aside', async () => {
    const lot = await makeLot(mill.db, { assays: GOOD })
    await reserve(lot.id)
    const agent = await manager()
    expect((await agent.post(`/lots/${lot.id}/hold`, REASON, { revision: 1 })).status).toBe(200)
    await expect(reserve(lot.id)).rejects.toMatchObject({ code: 'lot-not-released' })
    expect((await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: lot.id } })).kind).toBe('held-lot-reserved')
    expect((await (await mill.as('store-keeper')).post(`/lots/${lot.id}/hold`, REASON, { revision: 2 })).status).toBe(403)
  })

  it('lets one of two who hold and release at once decide, never both', async () => {
    for (let round = 0; round < 5; round += 1) {
      const lot = await held()
      const [one, other] = [await manager(), await mill.as('laboratory')]
      const replies = await Promise.all([
        one.post(`/lots/${lot.id}/hold`, { reason: 'fumigated', until: dayFromNow(5) }, { revision: 1 }),
        other.post(`/lots/${lot.id}/release`, {}, { revision: 1 }),
      ])
      // the other is told that the lot changed (412) or, having read it first, that it is not on hold any more (409)
      const [won, lost] = replies.map(({ status }) => status).sort()
      expect([won, [409, 412].includes(lost ?? 0)]).toEqual([200, true])
      const { status, holdUntil } = await mill.db.lot.findUniqueOrThrow({ where: { id: lot.id } })
      expect(status === 'released' ? holdUntil : status).toEqual(status === 'released' ? null : 'on-hold')
    }
  })
})

describe('a re-test date', () => {
  it('ends the use of a lot after that day, until it was tested and released again', async () => {
    const lot = await held()
    const agent = await manager()
    const bad = await agent.post(`/lots/${lot.id}/release`, { retestOn: dayFromNow(0) }, { revision: 1 })
    expect(bad.problem().errors?.[0]?.path).toBe('retestOn')
    const released = await agent.post(`/lots/${lot.id}/release`, { retestOn: dayFromNow(60) }, { revision: 1 })
    expect(released.as(LotView).retestOn).toBe(dayFromNow(60))
    await mill.db.lot.update({ where: { id: lot.id }, data: { retestOn: day(0) } })
    await reserve(lot.id)
    await mill.db.lot.update({ where: { id: lot.id }, data: { retestOn: day(-1) } })
    await expect(reserve(lot.id)).rejects.toMatchObject({ code: 'lot-not-released', facts: { retestOn: dayFromNow(-1) } })
    // a result older than a month before the date is no re-test
    const old = await held({ receivedAt: day(-90) })
    await mill.db.lot.update({ where: { id: old.id }, data: { retestOn: day(-1) } })
    const again = await agent.post(`/lots/${old.id}/release`, REASON, { revision: 1 })
    expect(JSON.stringify(again.body)).toContain('retest-missing')
    const results = [{ analyte: 'moisture', value: 12.1, unit: '%', method: 'oven', measuredOn: dayFromNow(-1) }]
    expect((await agent.post(`/lots/${old.id}/assays`, { laboratory: 'Mill', results })).status).toBe(201)
    const fresh = await agent.post(`/lots/${old.id}/release`, { ...REASON, retestOn: dayFromNow(30) }, { revision: 2 })
    expect(fresh.as(LotView)).toMatchObject({ status: 'released', retestOn: dayFromNow(30) })
  })
})

describe('a re-test date that was reached', () => {
  const moisture = (n: number) => ({
    laboratory: 'Mill',
    results: [{ analyte: 'moisture', value: 12.1, unit: '%', method: 'oven', measuredOn: dayFromNow(n) }],
  })

  it('is not met by the results that the lot was released with', async () => {
    const lot = await held({ receivedAt: day(-9) })
    const agent = await manager()
    expect((await agent.post(`/lots/${lot.id}/release`, { retestOn: dayFromNow(5) }, { revision: 1 })).status).toBe(200)
    expect((await agent.post(`/lots/${lot.id}/hold`, REASON, { revision: 2 })).status).toBe(200)
    await mill.db.lot.update({ where: { id: lot.id }, data: { retestOn: day(0) } })
    const again = await agent.post(`/lots/${lot.id}/release`, REASON, { revision: 3 })
    expect(again.problem().code).toBe('safety-block')
    expect(JSON.stringify(again.body)).toContain('retest-missing')
    expect((await agent.post(`/lots/${lot.id}/assays`, moisture(0))).status).toBe(201)
    expect((await agent.post(`/lots/${lot.id}/release`, REASON, { revision: 4 })).status).toBe(200)
  })

  it('is within what a slip of the pen leaves', async () => {
    const lot = await held()
    const reply = await (await manager()).post(`/lots/${lot.id}/release`, { retestOn: '9999-01-01' }, { revision: 1 })
    expect(reply.problem().errors?.[0]).toMatchObject({ path: 'retestOn', code: 'day-too-late' })
  })
})

describe('the matrix of required tests', () => {
  const add = async (hazard: string, ingredientId = 'maize_white') =>
    (await manager()).post('/required-tests', { ingredientId, hazard, reason: 'two sandy lorries' })

  it('blocks a release without a test that the mill added, with the reason, and not after it was taken back', async () => {
    const lot = await held()
    const agent = await manager()
    const added = (await add('sand')).as(RequiredTestView)
    const release = await agent.post(`/lots/${lot.id}/release`, REASON, { revision: 1 })
    expect(release.problem().code).toBe('safety-block')
    expect(JSON.stringify(release.body)).toContain('two sandy lorries')
    const view = (await agent.get(`/lots/${lot.id}`)).as(LotDetailView)
    expect(view.tests.find(({ hazard }) => hazard === 'sand')).toMatchObject({ duty: 'required', by: 'mill-addition', tested: false })
    // outside the matrix: unknown, and no block
    expect(view.tests.find(({ hazard }) => hazard === 'salt')).toMatchObject({ duty: 'none', tested: false })
    const path = `/required-tests/${added.id}/remove`
    expect((await agent.post(path, REASON, { revision: 9 })).problem().code).toBe('stale-revision')
    expect((await agent.post(path, REASON, { revision: 1 })).as(RequiredTestView).removedReason).toBe(REASON.reason)
    expect((await agent.post(path, REASON, { revision: 2 })).problem().code).toBe('wrong-state')
    expect((await agent.post(`/lots/${lot.id}/release`, {}, { revision: 1 })).status).toBe(200)
  })

  it('leaves what was released before an addition released', async () => {
    const lot = await makeLot(mill.db, { assays: GOOD })
    const added = (await add('urea')).as(RequiredTestView)
    const view = (await (await manager()).get(`/lots/${lot.id}`)).as(LotDetailView)
    expect(view.findings.some(({ what }) => what.code === 'mill-test-missing')).toBe(false)
    await (await manager()).post(`/required-tests/${added.id}/remove`, REASON, { revision: 1 })
  })

  it('shows every ingredient with what is asked and by what source, and refuses what is required already', async () => {
    const matrix = (await (await mill.as('laboratory')).get('/required-tests')).as(TestMatrixView)
    const row = (key: string) => matrix.rows.find(({ ingredientId }) => ingredientId === key)
    expect(row('groundnut_cake_expeller')?.duties.find(({ hazard }) => hazard === 'aflatoxin')?.duty).toBe('required')
    expect(row('maize_white')?.duties.find(({ hazard }) => hazard === 'aflatoxin')).toMatchObject({ duty: 'asked', ruleId: 'AF-REC-04' })
    expect((await add('aflatoxin', 'groundnut_cake_expeller')).problem().errors?.[0]?.code).toBe('already-required')
    expect((await add('sand', 'gravel')).problem().code).toBe('ingredient-unknown')
    expect(
      (await (await mill.as('laboratory')).post('/required-tests', { ingredientId: 'maize_white', hazard: 'salt', ...REASON })).status,
    ).toBe(403)
  })

  it('takes one of two additions that are made at once', async () => {
    const replies = await Promise.all([add('salt'), add('salt')])
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 409])
  })
})

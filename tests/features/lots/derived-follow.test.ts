import { beforeAll, describe, expect, it } from 'vitest'
import { HomeView } from '#contract/home'
import { SamplesDueView } from '#contract/laboratory'
import { LotDetailView, LotPapersView, LotView } from '#contract/lots'
import { proveStock } from '#features/stock/ledger'
import { MILL_AS_SUPPLIER } from '#features/lots/mill-supplier'
import type { Tx } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { z } from 'zod'
import { dayFromNow } from '../../support/builders/days.js'
import { balanceOf, makeLot, makeMaize, type BuiltLot, type LotFacts } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder, usualLines } from '../../support/builders/production.js'
import type { Reply } from '../../support/agent.js'
import { openMill, type SignedIn } from '../../support/mill.js'

const mill = await openMill()
let store: SignedIn
let manager: SignedIn
let laboratory: SignedIn
beforeAll(async () => {
  await prepareMill(mill.db)
  store = await mill.as('store-keeper')
  manager = await mill.as('manager')
  laboratory = await mill.as('laboratory')
})

const maize = (netKg: string, facts: LotFacts = {}): Promise<BuiltLot> => makeMaize(mill.db, netKg, facts)
type Part = readonly [lot: { readonly id: string }, kg: string]
const bodyOf = (parts: readonly Part[], gotKg: string, more: { readonly [name: string]: unknown } = {}) => ({
  kind: parts.length > 1 ? 'bin' : 'grinding',
  inputs: parts.map(([{ id }, kg]) => ({ lotId: id, kg })),
  gotKg,
  storagePlace: 'Bin 2',
  ...more,
})
const made = async (...parts: Part[]): Promise<LotView> => {
  const gotKg = parts.reduce((sum, [, kg]) => sum + Number(kg), 0).toFixed(3)
  const reply = await store.post('/lots/made', bodyOf(parts, gotKg))
  expect(reply.status, reply.text).toBe(201)
  return reply.as(LotView)
}
const detail = async (id: string) => (await manager.get(`/lots/${id}`)).as(LotDetailView)
const revisionOf = async ({ id }: { id: string }) => (await detail(id)).revision
const decide = async (lot: { id: string }, what: 'hold' | 'reject' | 'limit' | 'release', body: object) => {
  const reply = await manager.post(`/lots/${lot.id}/${what}`, { reason: 'musty', ...body }, { revision: await revisionOf(lot) })
  expect(reply.status, reply.text).toBeLessThan(300)
}
const limit = (lot: { id: string }, stages: readonly string[]) => decide(lot, 'limit', { stages })
const hold = (lot: { id: string }, until: string | null = null) => decide(lot, 'hold', { until })
const undo = (lot: { id: string }) => manager.post(`/lots/${lot.id}/undo-making`, { reason: 'typed wrongly' })
const undoRefused = async (lot: { id: string }) => (await undo(lot)).problem().errors?.[0]?.code
const statusOf = async (lot: { id: string }) => (await balanceOf(mill.db, lot.id)).status
const told = async (lot: { id: string }, action: string) =>
  (await mill.db.auditEntry.findMany({ where: { entityId: lot.id, action }, orderBy: { seq: 'asc' } })).map(({ facts }) => facts)
const discrepancies = async (lot: { id: string }) =>
  (await mill.db.discrepancy.findMany({ where: { lotId: lot.id } })).map(({ kind }) => kind)

const waitingForLock = async (): Promise<number> => {
  const rows = await mill.db.$queryRaw<unknown[]>`
    SELECT FROM pg_locks l JOIN pg_stat_activity a ON a.pid = l.pid WHERE NOT l.granted AND a.datname = current_database()`
  return rows.length
}

/** Somebody's transaction that is still open: `first` is done in it, then `other` is begun and waits for it, then `last` and COMMIT. */
const meanwhile = async <Answer>(
  first: (tx: Tx) => Promise<unknown>,
  other: () => PromiseLike<Answer>,
  last?: (tx: Tx) => Promise<unknown>,
): Promise<Answer> => {
  let waiting: Promise<Answer> | undefined
  await mill.db.$transaction(
    async (tx) => {
      await first(tx)
      waiting = Promise.resolve(other())
      await expect.poll(waitingForLock, { timeout: 15_000, interval: 20 }).toBeGreaterThan(0)
      await last?.(tx)
    },
    { timeout: 20_000 },
  )
  if (waiting === undefined) throw new Error('nothing was begun')
  return waiting
}

const HENS = 'layer_peak'
const CHICKS = 'broiler_starter_0_3wk'

describe('a lot that only some feed may take', () => {
  it('stops of what was made of it only what no feed is left for, and what was made of that', async () => {
    const [parent, hens, chicks] = [await maize('300'), await maize('50'), await maize('50')]
    await limit(hens, [HENS])
    await limit(chicks, [CHICKS])
    const open = await made([parent, '50'])
    const forHens = await made([parent, '50'], [hens, '50'])
    const forChicks = await made([parent, '50'], [chicks, '50'])
    const ofHens = await made([forHens, '40'])
    const ofChicks = await made([forChicks, '40'])
    const ofThat = await made([ofChicks, '20'])
    await limit(parent, [HENS])
    const now = async (lot: { id: string }) => {
      const { status, releasedFor } = await detail(lot.id)
      return [status, ...releasedFor]
    }
    expect(await now(open)).toEqual(['released', HENS])
    expect(await now(forHens)).toEqual(['released', HENS])
    expect(await now(ofHens)).toEqual(['released', HENS])
    for (const lot of [forChicks, ofChicks, ofThat]) {
      expect(await now(lot)).toEqual(['on-hold', CHICKS])
      expect((await detail(lot.id)).statusReason).toBe(`lot ${parent.number}: no-feed-left`)
      expect(await told(lot, 'lot.limited')).toEqual([])
      expect(await told(lot, 'lot.held')).toEqual([
        { number: lot.number, reason: `lot ${parent.number}: no-feed-left`, parent: parent.number },
      ])
    }
    expect(await told(open, 'lot.limited')).toEqual([{ number: open.number, stages: [HENS], parent: parent.number }])
    // what it did not narrow is not said to be narrowed
    expect(await told(forHens, 'lot.limited')).toEqual([])
    for (const lot of [open, forHens, ofHens]) expect(await told(lot, 'lot.held')).toEqual([])
  })

  it('tells the manager of a made lot that is set aside for a feed it may no longer enter', async () => {
    const lines = await usualLines(mill.db)
    const [first] = lines
    const parent = await maize('3100')
    const bin = await made([parent, '3000'])
    await makePlannedOrder(mill.db, { lines: [{ lotId: bin.id, kg: first?.kg ?? 0 }, ...lines.slice(1)] })
    await limit(parent, [CHICKS])
    expect(await discrepancies(bin)).toEqual(['limited-lot-reserved'])
  })

  it('narrows also one of which nothing is left: what comes back to it is no freer than before', async () => {
    const parent = await maize('60')
    const child = await made([parent, '50'])
    const grandchild = await made([child, '50'])
    expect(await statusOf(child)).toBe('used-up')
    await limit(parent, [HENS])
    expect((await undo(grandchild)).status).toBe(200)
    expect(await detail(child.id)).toMatchObject({ status: 'released', releasedFor: [HENS], freeKg: '50.000' })
  })
})

describe('a used-up lot of which something turns up', () => {
  const find = async (lot: { id: string }) => {
    const reply = await store.post(`/lots/${lot.id}/count`, { countedKg: '2', reason: 'swept together behind the mill' })
    expect(reply.status, reply.text).toBeLessThan(300)
  }

  it('is on hold where a lot in it was rejected meanwhile, though there was nothing of it to hold then', async () => {
    const [first, other] = [await maize('50'), await maize('50')]
    const flour = await made([first, '50'], [other, '50'])
    const finer = await made([flour, '100'])
    const finest = await made([finer, '100'])
    await decide(finest, 'reject', {})
    expect([await statusOf(flour), await statusOf(finer)]).toEqual(['used-up', 'used-up'])
    await find(flour)
    expect(await statusOf(flour)).toBe('released')
    await hold(flour)
    await find(finer)
    expect(await detail(finer.id)).toMatchObject({
      status: 'on-hold',
      statusReason: `lot ${flour.number}: on-hold`,
      decidedBy: store.user.name,
    })
  })

  it('is released again where the lots in it are as they were', async () => {
    const flour = await made([await maize('50'), '50'])
    await made([flour, '50'])
    await find(flour)
    expect(await statusOf(flour)).toBe('released')
  })
})

describe('two people at once', () => {
  it('a lot made while a parent is being limited has the new limit', async () => {
    const parent = await maize('100')
    const reply = await meanwhile(
      (tx) => tx.lot.update({ where: { id: parent.id }, data: { releasedFor: [HENS] } }),
      () => store.post('/lots/made', bodyOf([[parent, '50']], '50')),
    )
    expect(reply.as(LotView).releasedFor).toEqual([HENS])
  })

  it('a hold finds also what is made of a made lot while it waits for that one', async () => {
    const parent = await maize('100')
    const child = await made([parent, '60'])
    const revision = await revisionOf(parent)
    const late = await maize('20')
    const reply = await meanwhile(
      (tx) => tx.$queryRaw`SELECT id FROM lot WHERE id = ${child.id}::uuid FOR UPDATE`,
      () => manager.post(`/lots/${parent.id}/hold`, { reason: 'weevils', until: null }, { revision }),
      // what making another lot of the child writes before it commits
      (tx) => tx.lotParent.create({ data: { lotId: late.id, parentId: child.id, kg: '20' } }),
    )
    expect(reply.status, reply.text).toBe(200)
    expect([await statusOf(child), await statusOf(late)]).toEqual(['on-hold', 'on-hold'])
  })

  it('six who take from one lot never take more than there is', async () => {
    const parent = await maize('100')
    // whoever waited for the lot longer than two seconds is told that the mill is busy and asks again, as the console does
    const take = async (): Promise<Reply> => {
      const reply = await store.post('/lots/made', bodyOf([[parent, '30']], '30'))
      return reply.status === 503 ? take() : reply
    }
    const replies = await Promise.all(Array.from({ length: 6 }, take))
    expect(replies.filter(({ status }) => status === 201)).toHaveLength(3)
    expect(replies.filter(({ status }) => status !== 201).map((reply) => reply.problem().code)).toEqual(Array(3).fill('stock-short'))
    expect(await balanceOf(mill.db, parent.id)).toMatchObject({ onHandKg: '10.000' })
    expect((await proveStock(mill.db)).whole).toBe(true)
  })

  it('of one who takes back and one who uses only one does', async () => {
    const parent = await maize('100')
    const lot = await made([parent, '60'])
    const [back, used] = await Promise.all([undo(lot), store.post('/lots/made', bodyOf([[lot, '10']], '10'))])
    expect([back.status, used.status].toSorted((a, b) => a - b)[0]).toBeLessThan(300)
    expect(Math.max(back.status, used.status)).toBe(409)
    expect((await proveStock(mill.db)).whole).toBe(true)
  })
})

describe('taking back', () => {
  it('is refused for a lot that was rejected, measured or is under gas: what was found would be out of sight', async () => {
    const [rejected, measured, gassed] = [
      await made([await maize('10'), '10']),
      await made([await maize('10'), '10']),
      await made([await maize('10'), '10']),
    ]
    await decide(rejected, 'reject', {})
    const result = { analyte: 'CP', value: 8.4, unit: '%', method: 'Kjeldahl', measuredOn: dayFromNow(0) }
    expect((await laboratory.post(`/lots/${measured.id}/assays`, { laboratory: 'Ridge', results: [result] })).status).toBeLessThan(300)
    await hold(gassed, dayFromNow(3))
    const refusals = ['made-lot-rejected', 'made-lot-measured', 'made-lot-held']
    expect([await undoRefused(rejected), await undoRefused(measured), await undoRefused(gassed)]).toEqual(refusals)
    for (const { id } of [rejected, measured, gassed]) expect((await detail(id)).making?.mayUndo).toBe(false)
  })

  it('gives to a parent that is on hold or rejected meanwhile, which stays so', async () => {
    const [held, bad] = [await maize('60'), await maize('60')]
    const [ofHeld, ofBad] = [await made([held, '50']), await made([bad, '50'])]
    await hold(held)
    await decide(bad, 'reject', {})
    expect((await undo(ofHeld)).status).toBe(200)
    expect((await undo(ofBad)).status).toBe(200)
    expect(await balanceOf(mill.db, held.id)).toEqual({ onHandKg: '60.000', reservedKg: '0.000', status: 'on-hold' })
    expect(await balanceOf(mill.db, bad.id)).toEqual({ onHandKg: '60.000', reservedKg: '0.000', status: 'rejected' })
    expect((await proveStock(mill.db)).whole).toBe(true)
  })

  it('holds a parent that had been used up where a lot in it was condemned meanwhile, or it was itself', async () => {
    const parent = await maize('60')
    const child = await made([parent, '50'])
    const grandchild = await made([child, '50'])
    await decide(parent, 'reject', {})
    expect(await statusOf(child)).toBe('used-up')
    expect((await undo(grandchild)).status).toBe(200)
    expect(await detail(child.id)).toMatchObject({ status: 'on-hold', statusReason: `lot ${parent.number}: rejected`, onHandKg: '50.000' })
    const late = await maize('60')
    const ofLate = await made([late, '60'])
    const result = { analyte: 'aflatoxin_total', value: 60, unit: 'ug/kg', method: 'ELISA', measuredOn: dayFromNow(0), confirmed: true }
    expect((await laboratory.post(`/lots/${late.id}/assays`, { laboratory: 'Ridge', results: [result] })).status).toBeLessThan(300)
    expect((await undo(ofLate)).status).toBe(200)
    expect(await statusOf(late)).toBe('on-hold')
    expect((await detail(late.id)).statusReason).toContain(`lot ${late.number}: `)
  })

  it('twice by a double click gives back once', async () => {
    const parent = await maize('60')
    const lot = await made([parent, '50'])
    const key = newId()
    const body = { reason: 'typed wrongly' }
    const replies = await Promise.all([1, 2].map(() => manager.post(`/lots/${lot.id}/undo-making`, body, { key })))
    expect((await manager.post(`/lots/${lot.id}/undo-making`, body, { key })).status).toBe(200)
    for (const { status } of replies) expect([200, 409]).toContain(status)
    expect(await balanceOf(mill.db, parent.id)).toMatchObject({ onHandKg: '60.000' })
  })
})

describe('figures', () => {
  it.each(['0', '-5', '1e12', '1000000000000', '0.0001', 'NaN', '5,5', ' 5', ''])('%j is no weight, taken or left', async (kg) => {
    const lot = await maize('100')
    for (const [field, body] of [
      ['inputs.0.kg', bodyOf([[lot, kg]], '10')],
      ['gotKg', bodyOf([[lot, '10']], kg)],
    ] as const)
      expect((await store.post('/lots/made', body)).problem().errors?.map(({ path }) => path)).toContain(field)
    expect(await balanceOf(mill.db, lot.id)).toMatchObject({ onHandKg: '100.000' })
  })

  it('of less than a tenth of what was taken is a digit left out', async () => {
    const lot = await maize('100')
    const reply = await store.post('/lots/made', bodyOf([[lot, '100']], '9.999', { lossKind: 'dust' }))
    expect(reply.problem().errors?.[0]).toMatchObject({
      path: 'gotKg',
      code: 'tenth-of-taken',
      message: 'at least 10.000 kg, a tenth of what was taken',
    })
    expect((await store.post('/lots/made', bodyOf([[lot, '100']], '10', { lossKind: 'dust' }))).status).toBe(201)
  })

  it('of drying by which the dry matter would grow are told to the manager, however they are explained', async () => {
    const lot = await maize('1000')
    // 1000 kg x (100 - 25) / (100 - 12.5) = 857.143 kg: dry matter stays, only water goes.
    const drying = { kind: 'drying', moistureBeforePct: 25, moistureAfterPct: 12.5 }
    const reply = await store.post('/lots/made', bodyOf([[lot, '1000']], '980', { ...drying, lossKind: 'moisture' }))
    expect(reply.status, reply.text).toBe(201)
    const [{ facts } = { facts: null }] = await mill.db.discrepancy.findMany({ where: { lotId: reply.as(LotView).id } })
    expect(facts).toMatchObject({ expectedKg: '857.143', gotKg: '980.000', differenceKg: '122.857' })
  })
})

describe('the mill itself', () => {
  it('is no supplier that anybody can open, buy from, take a delivery from or ask a price of', async () => {
    await made([await maize('10'), '10'])
    expect((await manager.get(`/suppliers/${MILL_AS_SUPPLIER}`)).status).toBe(404)
    expect((await manager.get(`/suppliers/${MILL_AS_SUPPLIER}/record`, { ingredientId: 'maize_white' })).status).toBe(404)
    const offer = {
      supplierId: MILL_AS_SUPPLIER,
      ingredientId: 'maize_white',
      pricePerKg: '40',
      packKg: '90',
      fewestPacks: 1,
      mostKg: null,
      deliveryDays: 1,
      validUntil: dayFromNow(5),
      note: '',
    }
    expect((await store.post('/supplier-offers', offer)).problem()).toMatchObject({
      code: 'supplier-unknown',
      errors: [{ path: 'supplierId' }],
    })
    const truck = { ingredientId: 'maize_white', supplierId: MILL_AS_SUPPLIER, pricePerKg: '40' }
    expect((await store.post('/gate-price', { ...truck, kg: '100' })).problem().code).toBe('supplier-unknown')
    const receivedAt = new Date().toISOString()
    const delivery = { ...truck, netKg: '100', receivedAt, bags: 2, intakeMoisturePct: 13, deliveryNote: '', storagePlace: '' }
    expect((await store.post('/lots', delivery)).problem().code).toBe('supplier-unknown')
  })
})

describe('the stack card of a made lot', () => {
  it('says which lots it came from, the largest first, and when it was made', async () => {
    const [one, other] = [await maize('50'), await maize('50')]
    const bin = await made([one, '20'], [other, '30'])
    const rowsOf = async (language: string) =>
      (await store.get(`/lots/${bin.id}/papers`, { language })).as(LotPapersView).card.rows.map(({ name, value }) => `${name}: ${value}`)
    expect(await rowsOf('en')).toEqual(
      expect.arrayContaining([`From: lots ${other.number}, ${one.number}`, expect.stringMatching(/^Made: /)]),
    )
    expect((await rowsOf('sw'))[0]).toBe(`Kutoka: mizigo ${other.number}, ${one.number}`)
  })
})

describe('the laboratory', () => {
  const due = async () => (await laboratory.get('/samples-due')).as(SamplesDueView).samples.map(({ lotNumber }) => lotNumber)

  it('is not asked to test again what every lot in a made one was tested for', async () => {
    const [one, other] = [await maize('50'), await maize('50')]
    const bin = await made([one, '50'], [other, '50'])
    await hold(bin)
    const untested = await makeLot(mill.db, { status: 'on-hold' })
    expect(await due()).toContain(untested.number)
    expect(await due()).not.toContain(bin.number)
    const waits = async (waitsFor: string) =>
      (await laboratory.get('/lots', { waitsFor, perPage: '100' })).as(z.array(LotView)).map(({ number }) => number)
    expect(await waits('tests')).toEqual(expect.arrayContaining([untested.number]))
    expect(await waits('tests')).not.toContain(bin.number)
    expect(await waits('decision')).toContain(bin.number)
    const home = (await laboratory.get('/home')).as(HomeView)
    const toTest = home.toTest.map(({ number }) => number)
    expect(toTest).not.toContain(bin.number)
    expect(toTest).toContain(untested.number)
  })

  it('is asked for what one of them was not tested for', async () => {
    const [one, other] = [await maize('50'), await maize('50', { assays: { moisture: 12, CP: 8.2 } })]
    const bin = await made([one, '50'], [other, '50'])
    if (bin.status === 'released') await hold(bin)
    const testedOf = async ({ id }: { id: string }) => (await detail(id)).tests.filter((test) => test.tested).map(({ hazard }) => hazard)
    expect((await testedOf(one)).length).toBeGreaterThan((await testedOf(other)).length)
    expect(await testedOf(bin)).toEqual(await testedOf(other))
    expect(await due()).toContain(bin.number)
  })
})

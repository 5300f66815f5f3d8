import { describe, expect, it } from 'vitest'
import { z } from 'zod'
import { LateResultsView, RecordedAssaysView, RecordedSamplesView, SamplesDueView, UsedLotView } from '#contract/laboratory'
import { AssayView, LotView } from '#contract/lots'
import { dayFromNow } from '../../support/builders/days.js'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder, mixAll, usualLines } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
await prepareMill(mill.db)
const [laboratory, mixer] = [await mill.as('laboratory'), await mill.as('mixer-operator')]
const result = (analyte: string, value: number, facts: object = {}) => ({
  analyte,
  value,
  unit: analyte.startsWith('aflatoxin') ? 'ug/kg' : '%',
  method: 'sent away',
  measuredOn: dayFromNow(-1),
  ...facts,
})
const record = (lotId: string, ...results: object[]) => laboratory.post(`/lots/${lotId}/assays`, { laboratory: 'District', results })

/** A load of 69.5 kg of maize, 30 of soya and 0.5 of salt for growers, mixed and bagged. */
const mixed = async (limits: object = {}) => {
  const lines = await usualLines(mill.db)
  const planned = await makePlannedOrder(mill.db, { lines, formula: { limits } })
  await mixAll(mixer, planned)
  const [maize] = lines
  const [batchId] = planned.batchIds
  if (maize === undefined || batchId === undefined) throw new Error('nothing built')
  return { maize: maize.lotId, batchId, orderId: planned.orderId }
}
const kindsOf = async (batchId: string) => (await mill.db.discrepancy.findMany({ where: { batchId } })).map(({ kind }) => kind)

describe('a result that comes after the lot was used', () => {
  it('shows the load inside its limits with the new result, and changes nothing', async () => {
    const { maize, batchId } = await mixed()
    const reply = (await record(maize, result('CP', 8.4))).as(RecordedAssaysView)
    expect(reply.used).toEqual([expect.objectContaining({ batchId, inside: true, kg: '69.500', limits: [], findings: [] })])
    expect(await mill.db.batch.findUniqueOrThrow({ where: { id: batchId } })).toMatchObject({ status: 'done' })
    expect(await kindsOf(batchId)).toEqual([])
    const late = (await laboratory.get('/late-results')).as(LateResultsView)
    expect(late.lots.find(({ lotId }) => lotId === maize)?.batches).toEqual([expect.objectContaining({ batchId, inside: true })])
  })

  it('holds a load that a poison found too late condemns, opens a discrepancy, and takes the order off the shelf', async () => {
    const { maize, batchId, orderId } = await mixed()
    // 69.5 % of the load at 60 ug/kg are 41.7 and more, limit AF-REC-02 for growers of 6 to 12 weeks: 10 ug/kg
    const reply = (await record(maize, result('aflatoxin_total', 60))).as(RecordedAssaysView)
    const [used] = reply.used
    expect(used).toMatchObject({ batchId, inside: false, status: 'done' })
    expect(used?.findings.map(({ ruleId }) => ruleId)).toContain('AF-REC-02')
    const batch = await mill.db.batch.findUniqueOrThrow({ where: { id: batchId } })
    expect(batch).toMatchObject({ status: 'on-hold', statusReason: expect.stringMatching(/late result of lot \d+/) })
    expect(await kindsOf(batchId)).toEqual(['late-result-fails'])
    expect((await mill.db.order.findUniqueOrThrow({ where: { id: orderId } })).status).toBe('being-mixed')
    const view = (await laboratory.get(`/lots/${maize}/batches`)).as(UsedLotView)
    expect(view.batches).toEqual([expect.objectContaining({ batchId, inside: false, status: 'on-hold' })])
    // the same finding again is no news
    await record(maize, result('aflatoxin_total', 61, { measuredOn: dayFromNow(0) }))
    expect(await kindsOf(batchId)).toEqual(['late-result-fails'])
  })

  it('holds a load of what was ground from the lot, too', async () => {
    const [maize, ...rest] = await usualLines(mill.db)
    if (maize === undefined) throw new Error('nothing built')
    const body = { kind: 'grinding', inputs: [{ lotId: maize.lotId, kg: '1000' }], gotKg: '1000' }
    const ground = (await (await mill.as('manager')).post('/lots/made', body)).as(LotView)
    // made of a lot without its own tests it waits for them
    await mill.db.lot.update({ where: { id: ground.id }, data: { status: 'released' } })
    const planned = await makePlannedOrder(mill.db, { lines: [{ lotId: ground.id, kg: maize.kg }, ...rest] })
    await mixAll(mixer, planned)
    const [batchId] = planned.batchIds
    const reply = (await record(maize.lotId, result('aflatoxin_total', 60))).as(RecordedAssaysView)
    expect(reply.used).toEqual([expect.objectContaining({ batchId, inside: false, kg: '69.500' })])
    expect((await mill.db.batch.findUniqueOrThrow({ where: { id: batchId ?? '' } })).status).toBe('on-hold')
  })

  it('names the limit of the formula that fails by the new belief', async () => {
    // book maize has about 8 % protein and soya 44: some 18.8 %; a maize of 3 % brings it to about 15
    const { maize, batchId } = await mixed({ nutrients: [{ nutrient: 'CP', min: 17 }] })
    const reply = (await record(maize, result('CP', 3, { confirmed: true }))).as(RecordedAssaysView)
    expect(reply.used).toEqual([expect.objectContaining({ batchId, inside: false, limits: ['nutrient:CP:min'] })])
    const discrepancy = await mill.db.discrepancy.findFirstOrThrow({ where: { batchId } })
    expect(discrepancy.facts).toMatchObject({ limits: 'nutrient:CP:min' })
    const held = await mill.db.auditEntry.findFirstOrThrow({ where: { entityId: batchId, action: 'batch.held' } })
    expect(held.actorId).toBe(laboratory.user.id)
  })

  it('leaves the books of a load alone whose bags are with the member, and opens the discrepancy', async () => {
    const { maize, batchId, orderId } = await mixed()
    await mill.db.order.update({ where: { id: orderId }, data: { status: 'collected', collectedAt: new Date() } })
    const reply = (await record(maize, result('aflatoxin_total', 60))).as(RecordedAssaysView)
    expect(reply.used).toEqual([expect.objectContaining({ handedOver: true, inside: false })])
    expect((await mill.db.batch.findUniqueOrThrow({ where: { id: batchId } })).status).toBe('done')
    expect(await kindsOf(batchId)).toEqual(['late-result-fails'])
  })

  it('holds the load once when two results come at once', async () => {
    const { maize, batchId } = await mixed()
    const replies = await Promise.all([record(maize, result('aflatoxin_total', 60)), record(maize, result('aflatoxin_total', 70))])
    expect(replies.map(({ status }) => status)).toEqual([201, 201])
    expect(await kindsOf(batchId)).toEqual(['late-result-fails'])
  })
})

describe('a load held for a late result', () => {
  const stateOf = async (id: string) => {
    const { status, statusReason, revision } = await mill.db.batch.findUniqueOrThrow({ where: { id } })
    return { status, statusReason, revision }
  }
  const held = async () => {
    const { maize, batchId } = await mixed()
    const [bad] = (await record(maize, result('aflatoxin_total', 60))).as(RecordedAssaysView).assays
    if (bad === undefined) throw new Error('no result')
    return { maize, batchId, bad }
  }
  const letGo = async (batchId: string) => {
    const { revision } = await stateOf(batchId)
    const reply = await (await mill.as('manager')).post(`/batches/${batchId}/release-hold`, { reason: 'tried by a test' }, { revision })
    expect(reply.status, reply.text).toBe(200)
  }

  it('says that it passes when the result is corrected, and stays with the manager', async () => {
    const { maize, batchId, bad } = await held()
    const reply = (await record(maize, result('aflatoxin_total', 4, { supersedesId: bad.id }))).as(RecordedAssaysView)
    expect(reply.used).toEqual([expect.objectContaining({ inside: true })])
    expect(await stateOf(batchId)).toMatchObject({ status: 'on-hold', statusReason: expect.stringMatching(/lot \d+; inside again$/) })
    const [good] = reply.assays
    await record(maize, result('aflatoxin_total', 60, { supersedesId: good?.id }))
    expect(await stateOf(batchId)).toMatchObject({ status: 'on-hold', statusReason: expect.stringMatching(/lot \d+$/) })
  })

  it('is held again when it passed in between and was let go', async () => {
    const { maize, batchId, bad } = await held()
    const [good] = (await record(maize, result('aflatoxin_total', 4, { supersedesId: bad.id }))).as(RecordedAssaysView).assays
    await letGo(batchId)
    await record(maize, result('aflatoxin_total', 60, { supersedesId: good?.id }))
    expect((await stateOf(batchId)).status).toBe('on-hold')
    expect(await kindsOf(batchId)).toEqual(['late-result-fails', 'late-result-fails'])
  })

  it('is held again when the manager let it go with what was found and a worse result comes, not with the same one', async () => {
    const { maize, batchId } = await held()
    await letGo(batchId)
    await record(maize, result('aflatoxin_total', 60, { measuredOn: dayFromNow(0) }))
    expect((await stateOf(batchId)).status).toBe('done')
    await record(maize, result('aflatoxin_total', 400, { confirmed: true }))
    expect((await stateOf(batchId)).status).toBe('on-hold')
    expect(await kindsOf(batchId)).toEqual(['late-result-fails', 'late-result-fails'])
  })

  it('is one of two hundred with the same lot, all held in time', { timeout: 60_000 }, async () => {
    const { maize, batchId } = await mixed()
    // two hundred orders like this one, each ready with its one load
    await mill.sql.query(
      `WITH copied AS (
         INSERT INTO "order" SELECT (jsonb_populate_record(NULL::"order", to_jsonb(o) || jsonb_build_object(
           'id', gen_random_uuid(), 'number', 100000 + n))).*
         FROM "order" o JOIN batch b ON b.order_id = o.id, generate_series(1, 199) n WHERE b.id = $1 RETURNING id, number),
       loads AS (
         INSERT INTO batch SELECT (jsonb_populate_record(NULL::batch, to_jsonb(b) || jsonb_build_object(
           'id', gen_random_uuid(), 'number', copied.number, 'order_id', copied.id, 'bags_on_hand_kg', 0))).*
         FROM batch b, copied WHERE b.id = $1 RETURNING id)
       INSERT INTO batch_line SELECT (jsonb_populate_record(NULL::batch_line, to_jsonb(l) || jsonb_build_object('batch_id', loads.id))).*
       FROM batch_line l, loads WHERE l.batch_id = $1`,
      [batchId],
    )
    const reply = await record(maize, result('aflatoxin_total', 60))
    expect(reply.status, reply.text).toBe(201)
    expect(reply.as(RecordedAssaysView).used).toHaveLength(200)
    const loads = await mill.db.batch.findMany({ where: { lines: { some: { lotId: maize } } }, include: { order: true } })
    expect(loads.filter(({ status, order }) => status === 'on-hold' && order.status === 'being-mixed')).toHaveLength(200)
    expect(await mill.db.discrepancy.count({ where: { kind: 'late-result-fails', batch: { lines: { some: { lotId: maize } } } } })).toBe(
      200,
    )
  })
})

describe('one method over many samples', () => {
  const samples = (rows: object[], facts: object = {}) =>
    laboratory.post('/samples', {
      laboratory: 'Mill laboratory',
      measuredOn: dayFromNow(0),
      analyte: 'moisture',
      unit: '%',
      method: 'oven 103 C',
      rows,
      ...facts,
    })
  const held = () => makeLot(mill.db, { status: 'on-hold', netKg: '10.000' })

  it('records all rows, each with its lot', async () => {
    const lots = [await held(), await held()]
    const reply = await samples(lots.map(({ id }, index) => ({ lotId: id, value: 12 + index })))
    expect(reply.status, reply.text).toBe(201)
    expect(reply.as(RecordedSamplesView).assays.map(({ lotId, value }) => [lotId, value])).toEqual([
      [lots[0]?.id, 12],
      [lots[1]?.id, 13],
    ])
    expect(reply.as(RecordedSamplesView).assays[0]).toMatchObject({ ingredientNameEn: expect.stringMatching(/maize/i) })
  })

  it('tells every faulty row and keeps none', async () => {
    const lots = [await held(), await held(), await held()]
    const [first, second, third] = lots.map(({ id }) => id)
    const reply = await samples([
      { lotId: first, value: 12 },
      { lotId: second, value: 45 },
      { lotId: third, value: -1 },
    ])
    expect(reply.status).toBe(400)
    expect(reply.problem().errors?.map(({ path, code }) => [path, code])).toEqual([
      ['rows.1.value', 'implausible'],
      ['rows.2.value', 'negative'],
    ])
    expect(await mill.db.assay.count({ where: { lotId: { in: lots.map(({ id }) => id) } } })).toBe(0)
    const twice = await samples([
      { lotId: first, value: 12 },
      { lotId: first, value: 12 },
    ])
    expect(twice.problem().errors?.[0]).toMatchObject({ path: 'rows.1.lotId', code: 'twice' })
    const unknown = await samples([
      { lotId: first, value: 12 },
      { lotId: mixer.user.id, value: 12 },
    ])
    expect(unknown.problem().errors?.[0]).toMatchObject({ path: 'rows.1.lotId', code: 'unknown' })
  })

  it('takes the answers of a strip as what they are, with the limit of the kit', async () => {
    const lots = [await held(), await held()]
    const strip = { analyte: 'aflatoxin_total', quickTest: 'aflatoxin-strip', detectionLimit: 10, unit: 'ug/kg', method: '' }
    const rows = [
      { lotId: lots[0]?.id, reading: 'none-found' },
      { lotId: lots[1]?.id, reading: 'found' },
    ]
    const [none, found] = (await samples(rows, strip)).as(RecordedSamplesView).assays
    expect(none).toMatchObject({
      reading: 'none-found',
      value: 10,
      belowDetection: true,
      method: 'aflatoxin strip',
      quickTest: 'aflatoxin-strip',
    })
    expect(found).toMatchObject({ reading: 'found', value: 10, belowDetection: false })
    const figure = await samples([{ lotId: lots[0]?.id, value: 4 }], strip)
    expect(figure.problem().errors?.[0]).toMatchObject({ path: 'rows.0.reading', code: 'yes-no' })
    const meter = await samples([{ lotId: lots[0]?.id, value: 12 }], { quickTest: 'moisture-meter', method: '' })
    expect(meter.as(RecordedSamplesView).assays[0]).toMatchObject({ sd: 0.5, method: 'moisture meter' })
  })
})

describe('the list of samples', () => {
  it('has the oldest first, with its label, what is missing and what waits', async () => {
    const young = await makeLot(mill.db, { status: 'on-hold', receivedAt: new Date(Date.now() - 86_400_000) })
    const old = await makeLot(mill.db, { status: 'on-hold', receivedAt: new Date(Date.now() - 9 * 86_400_000), assays: { CP: 8 } })
    const due = (await laboratory.get('/samples-due')).as(SamplesDueView)
    const at = (id: string) => due.samples.findIndex(({ lotId }) => lotId === id)
    expect(at(old.id)).toBeLessThan(at(young.id))
    expect(due.samples[at(old.id)]).toMatchObject({
      sample: `S-${old.number}`,
      required: ['moisture'],
      asked: ['aflatoxin'],
      why: 'release',
      orders: [],
    })
  })

  it('asks for the whole of a lot again whose re-test comes due', async () => {
    const lot = await makeLot(mill.db, { assays: { CP: 8, moisture: 12, aflatoxin_total: 3 } })
    await mill.db.lot.update({ where: { id: lot.id }, data: { retestOn: new Date(`${dayFromNow(5)}T00:00:00Z`) } })
    const due = (await laboratory.get('/samples-due')).as(SamplesDueView)
    expect(due.samples.find(({ lotId }) => lotId === lot.id)).toMatchObject({ why: 're-test', required: ['moisture', 'protein'] })
  })
})

it('lists results with the names of their ingredients', async () => {
  const lot = await makeLot(mill.db, { ingredientId: 'maize_white', assays: { CP: 8 } })
  const rows = (await laboratory.get(`/assays?lotId=${lot.id}`)).as(z.array(AssayView))
  expect(rows[0]).toMatchObject({ ingredientNameEn: expect.stringMatching(/maize/i), ingredientNameSw: expect.stringMatching(/mahindi/i) })
})

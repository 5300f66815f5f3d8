import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { RecordedAssaysView } from '#contract/laboratory'
import { AssayView, LotDetailView } from '#contract/lots'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { dayFromNow } from '../../support/builders/days.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const result = (analyte: string, value: number, facts: object = {}) => ({
  analyte,
  value,
  unit: '%',
  method: 'Kjeldahl',
  measuredOn: dayFromNow(-5),
  ...facts,
})
const sheet = (...results: object[]) => ({ laboratory: 'District laboratory', results })
const laboratory = () => mill.as('laboratory')

describe('recording results', () => {
  it('keeps all results of a sample, and the composition follows', async () => {
    const lot = await makeLot(mill.db, { status: 'on-hold', ingredientId: 'maize_white' })
    const agent = await laboratory()
    const before = (await agent.get(`/lots/${lot.id}`)).as(LotDetailView)
    const reply = await agent.post(`/lots/${lot.id}/assays`, sheet(result('moisture', 13.2), result('CP', 9.1)))
    expect(reply.status).toBe(201)
    expect(reply.as(RecordedAssaysView).assays.map(({ analyte }) => analyte)).toEqual(['moisture', 'CP'])
    const after = (await agent.get(`/lots/${lot.id}`)).as(LotDetailView)
    const value = (detail: z.output<typeof LotDetailView>, nutrient: string) => detail.composition.find((row) => row.nutrient === nutrient)
    // The belief stays near the result of 9.1: it counts for more than four fifths, the book of white maize for the rest.
    const protein = value(after, 'CP')
    expect(protein).toMatchObject({ knownBy: 'measured', value: expect.closeTo(9.1, 0) })
    expect(protein?.steps.find(({ code }) => code === 'belief-updated')?.facts['measured']).toBe(9.1)
    expect(value(after, 'DM')).toMatchObject({ value: 86.8, knownBy: 'measured' })
    // Threonine follows dry matter, then protein: in the end it keeps its share of the book protein.
    const share = (value(before, 'Thr')?.bookValue ?? 0) / (value(before, 'CP')?.bookValue ?? 1)
    expect(value(after, 'Thr')?.value).toBeCloseTo(share * (protein?.value ?? Number.NaN), 6)
    expect(after).toMatchObject({ moisturePct: 13.2, proteinPct: 9.1, revision: 2 })
  })

  it.each([
    ['a unit that does not fit', result('CP', 9, { unit: 'mg/kg' }), 'results.0.unit', 'unit'],
    ['aflatoxin in per cent', result('aflatoxin_total', 9), 'results.0.unit', 'unit'],
    ['a protein of 450 %', result('CP', 450), 'results.0.value', 'above-possible'],
    ['a negative value', result('CP', -1), 'results.0.value', 'negative'],
    ['an unusual value that nobody confirmed', result('CP', 31), 'results.0.value', 'implausible'],
    ['a day still to come', result('CP', 8, { measuredOn: '2031-01-01' }), 'results.0.measuredOn', 'in-the-future'],
    ['a day two months before the lot came', result('CP', 8, { measuredOn: dayFromNow(-62) }), 'results.0.measuredOn', 'before-the-lot'],
    ['an analyte that the mill does not know', result('gold', 1), 'results.0.analyte', undefined],
    ['a spread so small that its square is nothing', result('CP', 9, { sd: 1e-200 }), 'results.0.sd', undefined],
    ['a spread beyond all numbers', result('CP', 9, { sd: 1e308 }), 'results.0.sd', undefined],
    ['a value in words', result('CP', 0, { value: 'nine' }), 'results.0.value', undefined],
  ])('refuses %s, says which field, and writes nothing', async (_what, bad, path, code) => {
    const lot = await makeLot(mill.db, { status: 'on-hold' })
    const reply = await (await laboratory()).post(`/lots/${lot.id}/assays`, sheet(bad, result('moisture', 12)))
    expect(reply.status).toBe(400)
    const fault = reply.problem().errors?.find((error) => error.path === path)
    expect(fault).toBeDefined()
    if (code !== undefined) expect(fault?.code).toBe(code)
    expect(await mill.db.assay.count({ where: { lotId: lot.id } })).toBe(0)
  })

  it('says the usual range of an unusual value, and takes it when it is confirmed', async () => {
    const lot = await makeLot(mill.db, { status: 'on-hold' })
    const agent = await laboratory()
    const refused = await agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', 31)))
    const [fault] = refused.problem().errors ?? []
    expect(fault?.message).toMatch(/usually [\d.]+ to [\d.]+/)
    const reply = await agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', 31, { confirmed: true })))
    expect(reply.status).toBe(201)
  })

  it('corrects a result once; the old one stays to be seen', async () => {
    const lot = await makeLot(mill.db, { status: 'on-hold' })
    const agent = await laboratory()
    const [first] = (await agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', 8)))).as(RecordedAssaysView).assays
    const correction = result('CP', 9, { supersedesId: first?.id, note: 'wrong sample number' })
    expect((await agent.post(`/lots/${lot.id}/assays`, sheet(correction))).status).toBe(201)
    const detail = (await agent.get(`/lots/${lot.id}`)).as(LotDetailView)
    expect(detail.proteinPct).toBe(9)
    expect(detail.assays.map(({ value, superseded }) => ({ value, superseded }))).toEqual([
      { value: 8, superseded: true },
      { value: 9, superseded: false },
    ])
    const again = await agent.post(`/lots/${lot.id}/assays`, sheet(correction))
    expect(again.problem()).toMatchObject({ code: 'wrong-state', errors: [{ path: 'results.0.supersedesId', code: 'superseded' }] })
    const current = (await agent.get('/assays', { lotId: lot.id, current: 'yes' })).as(z.array(AssayView))
    expect(current.map(({ value }) => value)).toEqual([9])
  })

  it('lets one of two corrections of the same result win', async () => {
    const lot = await makeLot(mill.db, { status: 'on-hold' })
    const agent = await laboratory()
    const [first] = (await agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', 8)))).as(RecordedAssaysView).assays
    const correct = (value: number) => agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', value, { supersedesId: first?.id })))
    const replies = await Promise.all([correct(8.5), correct(9)])
    expect(replies.map(({ status }) => status).sort()).toEqual([201, 409])
  })

  it('refuses a correction of a result of another lot or analyte', async () => {
    const [lot, other] = [await makeLot(mill.db), await makeLot(mill.db, { status: 'on-hold' })]
    const agent = await laboratory()
    const [first] = (await agent.post(`/lots/${other.id}/assays`, sheet(result('CP', 8)))).as(RecordedAssaysView).assays
    const reply = await agent.post(`/lots/${lot.id}/assays`, sheet(result('CP', 9, { supersedesId: first?.id })))
    expect(reply.problem()).toMatchObject({ errors: [{ path: 'results.0.supersedesId', code: 'unknown' }] })
  })

  it('records on a rejected lot: what was measured was measured', async () => {
    const lot = await makeLot(mill.db, { status: 'rejected' })
    const reply = await (await laboratory()).post(`/lots/${lot.id}/assays`, sheet(result('aflatoxin_total', 40, { unit: 'ug/kg' })))
    expect(reply.status).toBe(201)
    expect(await mill.db.discrepancy.count({ where: { lotId: lot.id } })).toBe(0)
  })

  it('opens a discrepancy when a released lot turns out above a limit', async () => {
    const lot = await makeLot(mill.db, { assays: { CP: 8, moisture: 12 } })
    await (await laboratory()).post(`/lots/${lot.id}/assays`, sheet(result('aflatoxin_total', 31, { unit: 'ug/kg' })))
    const discrepancy = await mill.db.discrepancy.findFirstOrThrow({ where: { lotId: lot.id } })
    expect(discrepancy.kind).toBe('released-lot-fails')
    expect(JSON.stringify(discrepancy.facts)).toContain('AF-REC-04')
  })

  it('makes a decision on the lot as it was before stale', async () => {
    const lot = await makeLot(mill.db, { status: 'on-hold', assays: { CP: 8, moisture: 12, aflatoxin_total: 3 } })
    await (await laboratory()).post(`/lots/${lot.id}/assays`, sheet(result('aflatoxin_total', 31, { unit: 'ug/kg' })))
    const reply = await (await mill.as('manager')).post(`/lots/${lot.id}/release`, { reason: 'ok' }, { revision: 1 })
    expect(reply.problem().code).toBe('stale-revision')
  })

  it.each([['store-keeper'], ['mixer-operator'], ['counter-clerk'], ['nutritionist'], ['member']] as const)(
    'is not for a %s',
    async (role) => {
      const lot = await makeLot(mill.db, { status: 'on-hold' })
      expect((await (await mill.as(role)).post(`/lots/${lot.id}/assays`, sheet(result('CP', 8)))).status).toBe(403)
      expect(await mill.db.assay.count({ where: { lotId: lot.id } })).toBe(0)
    },
  )

  it('answers 404 for no lot, and keeps members out of the list', async () => {
    expect((await (await laboratory()).post('/lots/0197a3b2-0000-7000-8000-000000000000/assays', sheet(result('CP', 8)))).status).toBe(404)
    expect((await (await mill.as('member')).get('/assays')).status).toBe(403)
  })
})

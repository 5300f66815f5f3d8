import { beforeAll, describe, expect, it } from 'vitest'
import { LotDetailView } from '#contract/lots'
import { bookLots, loadMixLots } from '#features/lots/lots-for-mix'
import { spreadsForMix } from '#core/composition/spreads'
import { totalSd } from '#core/composition/spread'
import { newId } from '#platform/new-id'
import { readAssayErrors } from '#seed/reference-tables'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makeSupplier } from '../../support/builders/suppliers.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

const detail = async (id: string) => (await (await mill.as('laboratory')).get(`/lots/${id}`)).as(LotDetailView)
const proteinOf = async (id: string) => {
  const value = (await detail(id)).composition.find(({ nutrient }) => nutrient === 'CP')
  if (!value) throw new Error('protein is in every composition')
  return value
}

describe('what is believed of a lot', () => {
  it('moves towards the earlier lots of its own supplier, corrected results left out', async () => {
    const supplierId = (await makeSupplier(mill.db)).id
    const alone = await makeLot(mill.db, { supplierId })
    for (const CP of [9.4, 9.5]) await makeLot(mill.db, { supplierId, assays: { CP } })
    const mistyped = await makeLot(mill.db, { supplierId, assays: { CP: 4.9 } })
    const wrong = await mill.db.assay.findFirstOrThrow({ where: { lotId: mistyped.id } })
    await mill.db.assay.create({ data: { ...wrong, id: newId(), value: 9.6, supersedesId: wrong.id } })
    const other = await makeLot(mill.db, { assays: { CP: 6.5 } })
    const next = await makeLot(mill.db, { supplierId })
    await makeLot(mill.db, { supplierId, assays: { CP: 7 } })

    const protein = await proteinOf(next.id)
    const step = protein.steps.find(({ code }) => code === 'supplier-record')
    expect(step?.facts).toMatchObject({ lots: 3, mean: expect.closeTo(9.5, 10) })
    // Three lots count for 3 / (3 + 3).
    const book = protein.bookValue ?? Number.NaN
    expect(protein).toMatchObject({ value: expect.closeTo((book + 9.5) / 2, 8), knownBy: 'supplier' })
    expect((await proteinOf(alone.id)).value).toBe(book)
    expect((await proteinOf(other.id)).steps.map(({ code }) => code)).not.toContain('supplier-record')
  })

  it('is updated by the result of the lot, and says by how much', async () => {
    const lot = await makeLot(mill.db, { assays: { CP: 9.2 } })
    const protein = await proteinOf(lot.id)
    const step = protein.steps.find(({ code }) => code === 'belief-updated')
    expect(step?.facts['measured']).toBe(9.2)
    expect(protein.value).toBeGreaterThan(9)
    expect(protein.value).toBeLessThan(9.2)
    expect(protein.sd).toBe(step?.facts['sd'])
  })

  it('tells what a lot may still hold of a mould poison after one clean result', async () => {
    const lot = await makeLot(mill.db, { assays: { aflatoxin_total: 2 } })
    const [poison] = (await detail(lot.id)).poisons
    expect(poison).toMatchObject({ analyte: 'aflatoxin_total', value: 2, results: 1 })
    expect(poison?.upperBound).toBeGreaterThan(10)
  })

  it('gives every lot of a mix and every book lot its spreads', async () => {
    const lots = [...(await loadMixLots(mill.db, { which: 'in-store', today: '2026-11-25' })), ...(await bookLots(mill.db))]
    expect(lots.length).toBeGreaterThan(5)
    for (const { composition } of lots) {
      const spreads = spreadsForMix(composition)
      for (const [nutrient, spread] of Object.entries(spreads)) expect(totalSd(spread), nutrient).toBeGreaterThan(0)
    }
  })

  it('compares with the errors of analysis that the reference prints', async () => {
    expect(await mill.db.assayError.count()).toBe(readAssayErrors().length)
  })
})

describe('a limit on a lot', () => {
  it('is broken by the result even where the belief lies under the limit', async () => {
    // safety_rules.csv: salt in dried small fish; the chloride that just breaks the limit, of which the belief is lower.
    const rule = (await mill.db.safetyRule.findMany({ where: { item: 'salt in dried small fish or fish meal' } }))[0]
    const limit = rule?.limitHigh ?? rule?.limitLow ?? Number.NaN
    const Cl = (limit * 1.01 * 35.453) / 58.443
    const lot = await makeLot(mill.db, {
      ingredientId: 'omena_dagaa_meal',
      status: 'on-hold',
      assays: { Cl, CP: 60, moisture: 9, urea: 0 },
    })
    const { composition, findings } = await detail(lot.id)
    const believed = composition.find(({ nutrient }) => nutrient === 'Cl')?.value ?? Number.NaN
    expect((believed * 58.443) / 35.453).toBeLessThan(limit)
    expect(findings.find(({ ruleId }) => ruleId === rule?.id)).toMatchObject({ severity: 'warn', found: { knownBy: 'measured' } })
  })
})

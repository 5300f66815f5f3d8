import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { IngredientDetailView, IngredientView, SourceView } from '#contract/ingredients'
import { PICTOGRAM_NAMES } from '#core/pictogram/paths'
import { loadReference } from '#seed/reference'
import { readIngredients } from '#seed/reference-tables'
import { newId } from '#platform/new-id'
import { makeLot } from '../../support/builders/lots.js'
import { prepareMill } from '../../support/builders/mill.js'
import { makePlannedOrder, mixAll, usualLines } from '../../support/builders/production.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const manager = () => mill.as('manager')

describe('ingredients', () => {
  it('lists every ingredient of the reference with names in both languages and a picture of ours', async () => {
    const reply = await (await manager()).get('/ingredients', { perPage: '200' })
    const rows = reply.as(z.array(IngredientView))
    // ingredients.README.md "Files": 87 ingredients
    expect(reply.total).toBe(87)
    expect(rows.map(({ id }) => id).sort()).toEqual(
      readIngredients()
        .map(({ key }) => key)
        .sort(),
    )
    for (const row of rows) expect(PICTOGRAM_NAMES).toContain(row.pictogram)
    expect(new Set(rows.map(({ nameSw }) => nameSw)).size).toBe(87)
    expect(new Set(rows.map(({ nameEn }) => nameEn)).size).toBe(87)
  })

  it('finds by the Swahili name and filters by what is in store', async () => {
    const agent = await manager()
    const found = (await agent.get('/ingredients', { q: 'alizeti' })).as(z.array(IngredientView))
    expect(found.map(({ id }) => id)).toContain('sunflower_cake_high_fibre')
    await makeLot(mill.db, { ingredientId: 'limestone', netKg: '500' })
    await makeLot(mill.db, { ingredientId: 'limestone', netKg: '250', status: 'on-hold' })
    const stored = (await agent.get('/ingredients', { inStore: 'yes' })).as(z.array(IngredientView))
    expect(stored).toHaveLength(1)
    // What is on hold is there, but nobody may have it.
    expect(stored[0]).toMatchObject({ id: 'limestone', onHandKg: '750.000', freeKg: '500.000' })
  })

  it('shows each book value with its source, how it is known, and unknown as unknown', async () => {
    const maize = (await (await manager()).get('/ingredients/maize_yellow')).as(IngredientDetailView)
    const value = (nutrient: string) => maize.values.find((row) => row.nutrient === nutrient)
    // ingredients.provenance.csv: protein read 8.1 %, fibre from memory
    expect(value('CP')).toMatchObject({ value: 8.1, unit: '%', knownBy: 'book', source: 'KJPS-49-2-79-T1' })
    expect(value('CF')).toMatchObject({ value: 2.2, knownBy: 'memory' })
    const limestone = (await (await manager()).get('/ingredients/limestone')).as(IngredientDetailView)
    expect(limestone.values.find(({ nutrient }) => nutrient === 'ash')).toMatchObject({ value: null, knownBy: 'unknown' })
    const zero = limestone.values.find(({ nutrient }) => nutrient === 'CP')
    expect(zero).toMatchObject({ value: 0, knownBy: 'structural-zero' })
    expect(zero?.note).not.toBe('')
    expect(limestone.inclusionGuides).toHaveLength(4)
  })

  it('cites the sources', async () => {
    const rows = (await (await manager()).get('/sources', { perPage: '200' })).as(z.array(SourceView))
    expect(rows.find(({ id }) => id === 'NRC1994')?.citation).toContain('Nutrient Requirements of Poultry')
  })

  it('is loaded twice without a change, and prices of the mill stay', async () => {
    await mill.db.ingredient.update({ where: { id: 'salt' }, data: { replacementPricePerKg: '24.5' } })
    const before = await mill.db.ingredientValue.findMany({ orderBy: [{ ingredientId: 'asc' }, { nutrient: 'asc' }] })
    await loadReference(mill.db)
    expect(await mill.db.ingredientValue.findMany({ orderBy: [{ ingredientId: 'asc' }, { nutrient: 'asc' }] })).toEqual(before)
    expect(before.length).toBeGreaterThan(3000)
    const salt = (await (await manager()).get('/ingredients/salt')).as(IngredientDetailView)
    expect(salt.replacementPricePerKg).toBe('24.5000')
  })

  it('answers 404 for what nobody knows, and 403 to members', async () => {
    expect((await (await manager()).get('/ingredients/moon_dust')).status).toBe(404)
    expect((await (await mill.as('member')).get('/ingredients')).status).toBe(403)
    expect((await (await mill.as('member')).get('/ingredients/salt')).status).toBe(403)
    expect((await (await mill.as('member')).get('/sources')).status).toBe(403)
  })

  it('refuses a sort or a filter that there is not', async () => {
    expect((await (await manager()).get('/ingredients', { sort: 'price' })).status).toBe(400)
    expect((await (await manager()).get('/ingredients', { colour: 'red' })).problem()).toMatchObject({ errors: [{ path: 'colour' }] })
  })
})

describe('what an ingredient costs and how long it lasts', () => {
  it('shows what deliveries cost in their order, and no cover where nothing was used', async () => {
    const day = (ago: number): Date => new Date(Date.now() - ago * 86_400_000)
    const first = await makeLot(mill.db, { ingredientId: 'soybean_meal_44', pricePerKg: '90.0000', receivedAt: day(9) })
    const last = await makeLot(mill.db, { ingredientId: 'soybean_meal_44', pricePerKg: '95.5000', receivedAt: day(2) })
    const detail = (await (await manager()).get('/ingredients/soybean_meal_44')).as(IngredientDetailView)
    expect(detail.paid.map(({ number, pricePerKg }) => [number, pricePerKg])).toEqual([
      [first.number, '90.0000'],
      [last.number, '95.5000'],
    ])
    expect(detail.cover).toEqual({ windowDays: 28, usedKg: '0.000', perDayKg: '0.000', days: null, until: null })
  })

  it('shows each result of the laboratory beside the book, oldest lot first, without strips and what was put right', async () => {
    const old = await makeLot(mill.db, { ingredientId: 'sunflower_cake_high_fibre', assays: { CP: 27.5, aflatoxin_total: 3 } })
    const wet = await makeLot(mill.db, { ingredientId: 'sunflower_cake_high_fibre', assays: { moisture: 11.5 } })
    const { measured } = (await (await manager()).get('/ingredients/sunflower_cake_high_fibre')).as(IngredientDetailView)
    expect(measured).toEqual([
      { nutrient: 'CP', lotId: old.id, number: old.number, value: 27.5, inStore: true },
      { nutrient: 'DM', lotId: wet.id, number: wet.number, value: 88.5, inStore: true },
    ])
    const wrong = await mill.db.assay.findFirstOrThrow({ where: { lotId: old.id, analyte: 'CP' } })
    await mill.db.assay.create({ data: { ...wrong, id: newId(), value: 28.1, supersedesId: wrong.id } })
    await mill.db.assay.create({ data: { ...wrong, id: newId(), analyte: 'CF', value: 2, belowDetection: true } })
    const after = (await (await manager()).get('/ingredients/sunflower_cake_high_fibre')).as(IngredientDetailView)
    expect(after.measured.map(({ nutrient, value }) => [nutrient, value])).toEqual([
      ['CP', 28.1],
      ['DM', 88.5],
    ])
  })

  it('reckons with what was weighed into loads of the last four weeks', async () => {
    const lines = await usualLines(mill.db)
    const planned = await makePlannedOrder(mill.db, { lines })
    await mixAll(await mill.as('mixer-operator'), planned)
    const { cover, freeKg } = (await (await manager()).get('/ingredients/maize_white')).as(IngredientDetailView)
    // one load took 69.5 kg, 2.482 kg a day
    expect([cover.usedKg, cover.perDayKg]).toEqual(['69.500', '2.482'])
    expect(cover.days).toBe(Math.floor((Number(freeKg) * 28) / 69.5))
  })
})

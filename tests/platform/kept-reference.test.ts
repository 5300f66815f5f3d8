import { beforeAll, expect, test } from 'vitest'
import { loadBook } from '#features/ingredients/book'
import { loadSafetyTables } from '#features/requirements/safety-tables'
import { prepareMill } from '../support/builders/mill.js'
import { openMill } from '../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))

const where = { ingredientId_nutrient: { ingredientId: 'maize_white', nutrient: 'CP' } }
const proteinIn = async (db: Parameters<typeof loadBook>[0]) =>
  (await loadBook(db)).get('maize_white')?.book.find(({ nutrient }) => nutrient === 'CP')?.value
const stored = async () => (await mill.db.ingredientValue.findUniqueOrThrow({ where })).value

test('the published tables are read once for as long as they stay as they are', async () => {
  expect(await loadBook(mill.db)).toBe(await loadBook(mill.db))
  expect(await loadSafetyTables(mill.db)).toBe(await loadSafetyTables(mill.db))
})

test('a value that is corrected holds from the next reading on', async () => {
  expect(await proteinIn(mill.db)).toBe(await stored())
  await mill.db.ingredientValue.update({ where, data: { value: 8.4 } })
  expect(await proteinIn(mill.db)).toBe(8.4)
})

test('what a transaction wrote is seen inside it, and gone when it is rolled back', async () => {
  const before = await stored()
  const undone = mill.db.$transaction(async (tx) => {
    await tx.ingredientValue.update({ where, data: { value: before + 1 } })
    expect(await proteinIn(tx)).toBe(before + 1)
    throw new Error('rolled back')
  })
  await expect(undone).rejects.toThrow('rolled back')
  expect(await proteinIn(mill.db)).toBe(before)
})

test('a removed row and a row in its place count as a change', async () => {
  const row = await mill.db.ingredientValue.findUniqueOrThrow({ where })
  await loadBook(mill.db)
  await mill.db.ingredientValue.delete({ where })
  expect(await proteinIn(mill.db)).toBeUndefined()
  await mill.db.ingredientValue.create({ data: { ...row, value: 7.9 } })
  expect(await proteinIn(mill.db)).toBe(7.9)
})

import type { z } from 'zod'
import { TestMatrixView, type RequiredTestView } from '#contract/lots'
import { HAZARDS, testDuties, type Hazard, type MillTest } from '#core/safety/required-tests'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { loadCheckContext } from './lot-safety.js'

export const withPeople = {
  addedByUser: { select: { name: true } },
  removedByUser: { select: { name: true } },
} as const satisfies Prisma.RequiredTestInclude
type Row = Prisma.RequiredTestGetPayload<{ include: typeof withPeople }>

const hazardOf = (word: string): Hazard => {
  const known = HAZARDS.find((hazard) => hazard === word)
  if (known === undefined) throw new Error(`the table of required tests holds "${word}"`)
  return known
}

export const requiredTestView = (row: Row): z.output<typeof RequiredTestView> => ({
  id: row.id,
  ingredientId: row.ingredientId,
  hazard: hazardOf(row.hazard),
  reason: row.reason,
  addedBy: row.addedByUser.name,
  addedAt: row.addedAt.toISOString(),
  removedBy: row.removedByUser?.name ?? null,
  removedAt: row.removedAt?.toISOString() ?? null,
  removedReason: row.removedReason,
  revision: row.revision,
})

/** The tests that the mill itself asks for now, of one ingredient. */
export const loadMillTests = async (db: Db | Tx, ingredientId: string): Promise<MillTest[]> => {
  const rows = await db.requiredTest.findMany({ where: { ingredientId, removedAt: null }, orderBy: { addedAt: 'asc' } })
  return rows.map(({ hazard, reason }) => ({ hazard: hazardOf(hazard), reason }))
}

/** The same of many ingredients, by ingredient. */
export const loadAllMillTests = async (db: Db | Tx): Promise<ReadonlyMap<string, readonly MillTest[]>> => {
  const rows = await db.requiredTest.findMany({ where: { removedAt: null }, orderBy: { addedAt: 'asc' } })
  const tests = new Map<string, MillTest[]>()
  for (const { ingredientId, hazard, reason } of rows)
    tests.set(ingredientId, [...(tests.get(ingredientId) ?? []), { hazard: hazardOf(hazard), reason }])
  return tests
}

export const showTestMatrix = query({
  roles: STAFF,
  output: TestMatrixView,
  async run({ db, now }) {
    const context = await loadCheckContext(db, now)
    const own = await loadAllMillTests(db)
    const added = await db.requiredTest.findMany({ include: withPeople, orderBy: [{ addedAt: 'desc' }, { id: 'desc' }] })
    const ingredients = await db.ingredient.findMany({
      select: {
        id: true,
        nameEn: true,
        nameSw: true,
        category: true,
        lots: { where: { onHandKg: { gt: 0 } }, select: { id: true }, take: 1 },
      },
      orderBy: [{ category: 'asc' }, { nameEn: 'asc' }],
    })
    return {
      rows: ingredients.map(({ id, nameEn, nameSw, category, lots }) => ({
        ingredientId: id,
        ingredientNameEn: nameEn,
        ingredientNameSw: nameSw,
        category,
        inStore: lots.length > 0,
        duties: [...testDuties({ ingredientKey: id, category }, context, own.get(id) ?? [])],
      })),
      own: added.map(requiredTestView),
    }
  },
})

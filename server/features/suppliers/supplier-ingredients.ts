import type { z } from 'zod'
import { SupplierIngredientListQuery, SupplierIngredientView } from '#contract/suppliers'
import type { Db, Prisma } from '#platform/database/client'
import { containing, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

type Asked = z.output<typeof SupplierIngredientListQuery>

const lotsOf = ({ supplierId, q, id }: Asked): Prisma.LotWhereInput => ({
  supplierId,
  ...(id === undefined ? {} : { ingredientId: { in: id.split(',') } }),
  ...(q === undefined ? {} : { ingredient: { OR: [{ nameEn: containing(q) }, { nameSw: containing(q) }] } }),
})

const orderOf = ({ sort, order }: Asked) =>
  ({ lots: { _count: { id: order } }, receivedKg: { _sum: { netKg: order } }, lastReceivedAt: { _max: { receivedAt: order } } })[sort]

const rejectedOf = async (db: Db, where: Prisma.LotWhereInput) => {
  const sums = await db.lot.groupBy({ by: ['ingredientId'], where: { ...where, status: 'rejected' }, _count: true, _sum: { netKg: true } })
  return new Map(sums.map((sum) => [sum.ingredientId, sum]))
}

const namesOf = async (db: Db, ids: string[]) => {
  const rows = await db.ingredient.findMany({
    where: { id: { in: ids } },
    select: { id: true, nameEn: true, nameSw: true, pictogram: true },
  })
  return new Map(rows.map((row) => [row.id, row]))
}

/** What one supplier delivered, a row for each ingredient: lots, kilograms and what of them was rejected. */
export const listSupplierIngredients = query({
  roles: STAFF,
  input: SupplierIngredientListQuery,
  output: SupplierIngredientView,
  list: true,
  async run({ db }, asked) {
    const where = lotsOf(asked)
    const sums = await db.lot.groupBy({
      by: ['ingredientId'],
      where,
      _count: true,
      _sum: { netKg: true },
      _max: { receivedAt: true },
      orderBy: [orderOf(asked), { ingredientId: 'asc' }],
      ...rowsOf(asked),
    })
    const names = await namesOf(
      db,
      sums.map(({ ingredientId }) => ingredientId),
    )
    const rejected = await rejectedOf(db, where)
    const items = sums.map(({ ingredientId: id, _count: lots, _sum, _max }) => ({
      id,
      ingredientNameEn: names.get(id)?.nameEn ?? id,
      ingredientNameSw: names.get(id)?.nameSw ?? id,
      pictogram: names.get(id)?.pictogram ?? '',
      lots,
      receivedKg: _sum.netKg?.toFixed(3) ?? '0.000',
      rejectedLots: rejected.get(id)?._count ?? 0,
      rejectedKg: rejected.get(id)?._sum.netKg?.toFixed(3) ?? '0.000',
      lastReceivedAt: _max.receivedAt?.toISOString() ?? '',
    }))
    return { items, total: (await db.lot.findMany({ where, distinct: ['ingredientId'], select: { ingredientId: true } })).length }
  },
})

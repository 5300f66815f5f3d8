import { ById } from '#contract/lists'
import { SupplierOfferListQuery, SupplierOfferView } from '#contract/purchasing'
import { MillError } from '#core/errors'
import type { Prisma } from '#platform/database/client'
import { containing, numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { loadToday } from '#platform/mill-day'
import { query } from '#platform/query'
import { inState, offerView, withNames } from './offer-view.js'

const READERS = ['manager', 'store-keeper', 'nutritionist'] as const

const found = (q: string): Prisma.SupplierOfferWhereInput => ({
  OR: [
    { supplier: { name: containing(q) } },
    { ingredient: { OR: [{ nameEn: containing(q) }, { nameSw: containing(q) }] } },
    ...(numberIn(q) === undefined ? [] : [{ number: numberIn(q) ?? 0 }]),
  ],
})

export const listOffers = query({
  roles: READERS,
  input: SupplierOfferListQuery,
  output: SupplierOfferView,
  list: true,
  async run({ db, now }, { page, perPage, sort, order, q, id, state, supplierId, ingredientId }) {
    const today = await loadToday(db, now)
    const where: Prisma.SupplierOfferWhereInput = {
      AND: [
        onlyIds(id),
        q === undefined ? {} : found(q),
        state === undefined ? {} : { OR: state.map((one) => inState(one, today)) },
        supplierId === undefined ? {} : { supplierId },
        ingredientId === undefined ? {} : { ingredientId },
      ],
    }
    const rows = await db.supplierOffer.findMany({
      where,
      include: withNames,
      orderBy: [{ [sort]: order }, { id: order }],
      ...rowsOf({ page, perPage }),
    })
    return { items: rows.map((row) => offerView(row, today)), total: await db.supplierOffer.count({ where }) }
  },
})

export const getOffer = query({
  roles: READERS,
  params: ById,
  output: SupplierOfferView,
  async run({ db, now }, { id }) {
    const row = await db.supplierOffer.findUnique({ where: { id }, include: withNames })
    if (row === null) throw new MillError('not-found')
    return offerView(row, await loadToday(db, now))
  },
})

import { ById } from '#contract/lists'
import { SupplierListQuery, SupplierView } from '#contract/suppliers'
import { MillError } from '#core/errors'
import { NOT_THE_MILL } from '#features/lots/mill-supplier'
import type { Prisma } from '#platform/database/client'
import { containing, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'
import { supplierViews } from './supplier-view.js'

export const listSuppliers = query({
  roles: STAFF,
  input: SupplierListQuery,
  output: SupplierView,
  list: true,
  async run({ db }, { page, perPage, sort, order, q, id }) {
    const where: Prisma.SupplierWhereInput = {
      AND: [
        NOT_THE_MILL,
        onlyIds(id),
        q === undefined ? {} : { OR: [{ name: containing(q) }, { place: containing(q) }, { phone: containing(q) }] },
      ],
    }
    const rows = await db.supplier.findMany({ where, orderBy: [{ [sort]: order }, { id: 'asc' }], ...rowsOf({ page, perPage }) })
    return { items: await supplierViews(db, rows), total: await db.supplier.count({ where }) }
  },
})

export const getSupplier = query({
  roles: STAFF,
  params: ById,
  output: SupplierView,
  async run({ db }, { id }) {
    const row = await db.supplier.findUnique({ where: { id, ...NOT_THE_MILL } })
    const [view] = row === null ? [] : await supplierViews(db, [row])
    if (view === undefined) throw new MillError('not-found')
    return view
  },
})

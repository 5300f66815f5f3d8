import type { z } from 'zod'
import type { SupplierView } from '#contract/suppliers'
import type { Db, Prisma, Tx } from '#platform/database/client'

type Row = Prisma.SupplierGetPayload<object>

/** Suppliers with how many lots they delivered, and how many kilograms. */
export const supplierViews = async (db: Db | Tx, rows: readonly Row[]): Promise<z.output<typeof SupplierView>[]> => {
  const sums = await db.lot.groupBy({
    by: ['supplierId'],
    where: { supplierId: { in: rows.map(({ id }) => id) } },
    _count: true,
    _sum: { netKg: true },
  })
  const bySupplier = new Map(sums.map((sum) => [sum.supplierId, sum]))
  return rows.map(({ id, name, phone, place, createdAt, revision }) => {
    const sum = bySupplier.get(id)
    const receivedKg = sum?._sum.netKg?.toFixed(3) ?? '0.000'
    return { id, name, phone, place, createdAt: createdAt.toISOString(), lots: sum?._count ?? 0, receivedKg, revision }
  })
}

import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'

let count = 0

/** A supplier; every one has its own name. */
export const makeSupplier = async (
  db: Db,
  facts: { name?: string; phone?: string; place?: string } = {},
): Promise<{ id: string; name: string }> => {
  count += 1
  const { id, name } = await db.supplier.create({
    data: { id: newId(), name: `Supplier ${count} ${process.pid}`, phone: '', place: '', createdAt: new Date(), ...facts },
  })
  return { id, name }
}

import type { Db } from '#platform/database/client'
import { loadReference } from '#seed/reference'

/** The invented mill of the tests, with the published tables: what nearly every feature needs before it can work. */
export const prepareMill = async (db: Db, { jurisdiction = 'Kenya' }: { jurisdiction?: string } = {}): Promise<void> => {
  await loadReference(db)
  const facts = { name: 'Test Mill', district: 'Test District', phone: '+254700000001', jurisdiction, makingChargePerKg: '3.0000' }
  await db.mill.upsert({ where: { id: 1 }, create: { id: 1, ...facts }, update: facts })
}

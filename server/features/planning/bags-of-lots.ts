import { fullBagOf } from '#core/milling/full-bag'
import { parseKg, type Grams } from '#core/quantity/mass'
import type { Db } from '#platform/database/client'

/** What a full bag of each lot holds, for the lots whose bags can be counted instead of weighed. */
export const bagsOfLots = async (db: Db, lotIds: readonly string[]): Promise<ReadonlyMap<string, Grams>> => {
  const rows = await db.lot.findMany({
    where: { id: { in: [...lotIds] }, bags: { not: null } },
    select: { id: true, bags: true, netKg: true },
  })
  return new Map(
    rows.flatMap(({ id, bags, netKg }) => {
      const bag = fullBagOf(parseKg(netKg.toFixed(3)), bags)
      return bag === null ? [] : [[id, bag] as const]
    }),
  )
}

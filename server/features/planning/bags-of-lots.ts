import { parseKg, type Grams } from '#core/quantity/mass'
import type { Db } from '#platform/database/client'

/** A bag was filled to a mark of whole kilograms; where a delivery's mean is none, its bags differ and have to be weighed. */
const MARK = parseKg('1.000')

/** What a full bag of each lot holds, for the lots whose bags can be counted instead of weighed. */
export const bagsOfLots = async (db: Db, lotIds: readonly string[]): Promise<ReadonlyMap<string, Grams>> => {
  const rows = await db.lot.findMany({
    where: { id: { in: [...lotIds] }, bags: { not: null } },
    select: { id: true, bags: true, netKg: true },
  })
  return new Map(
    rows.flatMap(({ id, bags, netKg }) => {
      const each = bags === null ? 0 : parseKg(netKg.toFixed(3)) / bags
      return each > 0 && each % MARK === 0 ? [[id, each as Grams] as const] : []
    }),
  )
}

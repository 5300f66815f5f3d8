import { MillError } from '#core/errors'
import type { Db, Prisma, Tx } from '#platform/database/client'

/** How many laboratory results stood for each lot when a mix was worked out: results are only ever added. */
export type KnownResults = ReadonlyMap<string, number>

const countsOf = async (db: Db | Tx, where: Prisma.AssayWhereInput): Promise<KnownResults> => {
  const rows = await db.assay.groupBy({ by: ['lotId'], _count: { _all: true }, where })
  return new Map(rows.map(({ lotId, _count }) => [lotId, _count._all]))
}

/** To be read before the lots are, so that a result that comes in between counts as a change. */
export const readResultCounts = (db: Db): Promise<KnownResults> => countsOf(db, { lot: { status: 'released' } })

export const resultsOf = (counts: KnownResults, lotIds: Iterable<string>): KnownResults =>
  new Map([...lotIds].map((id) => [id, counts.get(id) ?? 0]))

/** With the lots' rows locked by their reservation: refuses when the laboratory said something new of one of them since the solve. */
export const refuseChangedLots = async (tx: Tx, known: KnownResults): Promise<void> => {
  const now = await countsOf(tx, { lotId: { in: [...known.keys()] } })
  const changed = [...known].filter(([lotId, count]) => (now.get(lotId) ?? 0) !== count).map(([lotId]) => lotId)
  if (changed.length > 0) throw new MillError('stale-revision', { changedLots: changed })
}

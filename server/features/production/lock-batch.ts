import { MillError } from '#core/errors'
import type { Prisma, Tx } from '#platform/database/client'

const whole = {
  lines: { orderBy: [{ part: 'asc' }, { position: 'asc' }] },
  mixer: { select: { maxLoadKg: true } },
  order: { include: { flock: true, formulaVersion: { include: { formula: true } } } },
} as const satisfies Prisma.BatchInclude
export type LockedBatch = Prisma.BatchGetPayload<{ include: typeof whole }>

/**
 * The batch, held until the end of the transaction. Its order is locked first: whether an order is ready depends on all its batches, and
 * two who finish the last two at once would else both see the other's as not done.
 */
export const lockBatch = async (tx: Tx, id: string): Promise<LockedBatch> => {
  await tx.$queryRaw`SELECT o.id FROM "order" o JOIN batch b ON b.order_id = o.id WHERE b.id = ${id}::uuid FOR UPDATE OF o, b`
  const batch = await tx.batch.findUnique({ where: { id }, include: whole })
  if (batch === null) throw new MillError('not-found')
  return batch
}

/** The revision that the caller read must still be the batch's. */
export const requireRevision = (batch: LockedBatch, revision: number): void => {
  if (batch.revision !== revision) throw new MillError('stale-revision', { revision: batch.revision })
}

export const wrongState = ({ status, number }: LockedBatch): MillError => new MillError('wrong-state', { status, batchNumber: number })

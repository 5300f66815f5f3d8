import type { FindingView } from '#contract/findings'
import type { Prisma, Tx } from '#platform/database/client'
import { findingsOf, type BatchWhole } from './batch-view.js'
import type { LockedBatch } from './lock-batch.js'

/** Findings as the column keeps them. */
export const asJson = (findings: readonly FindingView[]): Prisma.InputJsonValue => findings as unknown as Prisma.InputJsonValue

/** The first weighing can begin: the batch is being weighed, its order being mixed. */
export const beginBatch = async (
  tx: Tx,
  batch: LockedBatch | BatchWhole,
  { startedAt, findings }: { readonly startedAt: Date; readonly findings: readonly FindingView[] },
): Promise<void> => {
  await tx.batch.update({
    where: { id: batch.id },
    data: {
      // A load that the manager holds stays held, whatever is weighed into it.
      status: batch.status === 'on-hold' ? 'on-hold' : 'being-weighed',
      startedAt,
      findings: asJson([...findingsOf(batch.findings), ...findings]),
      revision: { increment: 1 },
    },
  })
  await tx.order.updateMany({
    where: { id: batch.orderId, status: 'planned' },
    data: { status: 'being-mixed', revision: { increment: 1 } },
  })
}

import { MillError } from '#core/errors'
import { formatKg } from '#core/quantity/mass'
import { bagKgOfMill } from '#features/orders/bag-size'
import type { Tx } from '#platform/database/client'
import { batchLines } from './batch-rows.js'
import type { Draft } from './draft-plan.js'

/** The loads of a draft with the rows of their sheets; `after`: loads that the order has already. */
export const createBatches = async (
  tx: Tx,
  orderId: string,
  draft: Draft,
  by: { actorId: string; now: Date; newId: () => string; after?: number },
): Promise<void> => {
  const bagKg = await bagKgOfMill(tx)
  const batches = draft.loads.map((load, index) => ({
    id: by.newId(),
    loadOfOrder: (by.after ?? 0) + index + 1,
    load,
    findings: draft.loadFindings[index] ?? [],
  }))
  for (const { id, loadOfOrder, load, findings } of batches) {
    await tx.batch.create({
      data: {
        id,
        orderId,
        mixerId: draft.mixer.id,
        loadOfOrder,
        loadKg: formatKg(load.load),
        ...(draft.medication === null ? {} : { medication: draft.medication }),
        gapPct: load.gapPct,
        proven: load.proven,
        bagsCostPct: load.bagsCostPct,
        findings: findings.map((finding) => ({ ...finding })),
        plannedBy: by.actorId,
        plannedAt: by.now,
        bagKg,
      },
    })
    await tx.batchLine.createMany({ data: batchLines(id, load) })
  }
}

/** The version is held as it is until COMMIT, and must still be approved. */
export const lockVersion = async (tx: Tx, versionId: string): Promise<void> => {
  await tx.$queryRaw`SELECT id FROM formula_version WHERE id = ${versionId}::uuid FOR SHARE`
  const version = await tx.formulaVersion.findUniqueOrThrow({ where: { id: versionId }, select: { status: true } })
  if (version.status !== 'approved') throw new MillError('formula-not-approved', { status: version.status })
}

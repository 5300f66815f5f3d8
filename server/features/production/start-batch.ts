import type { FindingView } from '#contract/findings'
import { ById } from '#contract/lists'
import { BatchDetailView, StartBatchBody } from '#contract/production'
import { checkLotUse } from '#core/safety/check-lot'
import { refuseBlocks } from '#features/formulas/blocks'
import { loadMixLotsById } from '#features/lots/lots-for-mix'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { loadToday } from '#platform/mill-day'
import { wholeBatch } from './batch-view.js'
import { beginBatch } from './begin-batch.js'
import { lockBatch, requireRevision, wrongState, type LockedBatch } from './lock-batch.js'
import { mixerFindings } from './mixer-history.js'

const lotIdsOf = (batch: LockedBatch): string[] => [...new Set(batch.lines.flatMap(({ lotId }) => (lotId === null ? [] : [lotId])))].sort()

// A lot that is rejected a moment later must not have been let into this load: it is held until COMMIT, in the order in which all lock lots.
const lotFindings = async (tx: Tx, batch: LockedBatch, today: string): Promise<FindingView[]> => {
  const ids = lotIdsOf(batch)
  await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${ids}::uuid[]) ORDER BY id FOR SHARE`
  const lots = await loadMixLotsById(tx, ids)
  return lots.flatMap((lot) => checkLotUse({ ...lot, name: String(lot.number) }, today))
}

/** The load goes on the scales: only when its order still stands, its lots are still good, and the mixer is fit for it. */
export const startBatch = command({
  roles: ['mixer-operator', 'manager'],
  params: ById,
  input: StartBatchBody,
  ifMatch: true,
  output: BatchDetailView,
  async run({ tx, now, record }, { id, revision, flushed }) {
    const batch = await lockBatch(tx, id)
    requireRevision(batch, revision)
    if (batch.status !== 'planned' || !['planned', 'being-mixed'].includes(batch.order.status)) throw wrongState(batch)
    // Two loads that start on one mixer at the same time would not see each other's medicine.
    await tx.$queryRaw`SELECT id FROM mixer WHERE id = ${batch.mixerId}::uuid FOR UPDATE`
    const { stage } = batch.order.formulaVersion.formula
    const mixer = await mixerFindings(tx, { batchId: id, mixerId: batch.mixerId, stage, medication: batch.medication, flushed }, now)
    const findings = [...(await lotFindings(tx, batch, await loadToday(tx, now))), ...mixer]
    refuseBlocks(findings)
    await beginBatch(tx, batch, { startedAt: now, findings })
    record('batch.started', 'batch', id, {
      number: batch.number,
      flushed,
      warnings: findings.filter(({ severity }) => severity === 'warn').map(({ ruleId }) => ruleId),
    })
    return wholeBatch(tx, id)
  },
})

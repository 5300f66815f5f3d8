import type { FindingView } from '#contract/findings'
import { ById } from '#contract/lists'
import { BatchDetailView, StartBatchBody } from '#contract/production'
import { kgFloat, parseKg } from '#core/quantity/mass'
import { refuseBlocks } from '#features/formulas/blocks'
import { checkAmounts } from '#features/formulas/check-mix'
import { medicationOfRow } from '#features/formulas/version-view'
import { loadMixLotsById } from '#features/lots/lots-for-mix'
import { eatenFrom, flockFacts } from '#features/orders/check-order'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { loadToday, plainDate } from '#platform/mill-day'
import { findingsOf, wholeBatch } from './batch-view.js'
import { beginBatch } from './begin-batch.js'
import { lockBatch, requireRevision, wrongState, type LockedBatch } from './lock-batch.js'
import { mixerFindings } from './mixer-history.js'

const plannedKg = (batch: LockedBatch): ReadonlyMap<string, number> => {
  const kg = new Map<string, number>()
  for (const { lotId, targetKg } of batch.lines) {
    if (lotId !== null) kg.set(lotId, (kg.get(lotId) ?? 0) + kgFloat(parseKg(targetKg.toFixed(3))))
  }
  return kg
}

// The load as its sheet asks for it, judged again: a result, a rejection or the birds' age may have changed since it was planned. What
// comes a moment later must not have been let in, so the lots are held until COMMIT, in the order in which all lock lots.
const mixFindings = async (tx: Tx, batch: LockedBatch, now: Date): Promise<FindingView[]> => {
  const kg = plannedKg(batch)
  const ids = [...kg.keys()].sort()
  await tx.$queryRaw`SELECT id FROM lot WHERE id = ANY(${ids}::uuid[]) ORDER BY id FOR SHARE`
  const lots = await loadMixLotsById(tx, ids)
  const { flock, dueOn, formulaVersion } = batch.order
  const on = eatenFrom(plainDate(dueOn), await loadToday(tx, now))
  const feed = { stage: formulaVersion.formula.stage, medication: medicationOfRow(formulaVersion), flock: flockFacts(flock, on) }
  const said = new Set(findingsOf(batch.findings).map(({ ruleId, severity }) => `${ruleId} ${severity}`))
  const findings = await checkAmounts(tx, feed, { lots, kg, now })
  return findings.filter(({ ruleId, severity }) => severity !== 'pass' && !said.has(`${ruleId} ${severity}`))
}

/** The load goes on the scales: only when its order still stands, its lots and its mix are still good, and the mixer is fit for it. */
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
    const findings = [...(await mixFindings(tx, batch, now)), ...mixer]
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

import { ById } from '#contract/lists'
import { ApproveVersionBody, VersionView, type MixView } from '#contract/formulas'
import { fieldError, MillError } from '#core/errors'
import { parseMoney } from '#core/quantity/money'
import { confirmPassword } from '#features/access/confirm-password'
import { command } from '#platform/command'
import type { Db, Tx } from '#platform/database/client'
import { refuseBlocks } from './blocks.js'
import { checkVersion } from './check-version.js'
import { leftOutFacts } from './mix-view.js'
import { priceFrom } from './price.js'
import { solveMix } from './solve-mix.js'
import { limitsOfRow, medicationOfRow, type VersionWhole, withFormula } from './version-view.js'
import { signedHash } from './submit-version.js'
import { guardFailed } from './version-guard.js'
import { wholeVersion } from './whole-version.js'

/** The load for which the price is worked out: one tonne. */
const PRICED_KG = '1000'

// Whoever drafted, changed or submitted a version proposed it; the audit says who that was.
const proposed = async (tx: Tx | Db, row: VersionWhole, userId: string): Promise<boolean> =>
  row.authorId === userId ||
  row.submittedBy === userId ||
  (await tx.auditEntry.count({
    where: {
      entityType: 'formula-version',
      entityId: row.id,
      actorId: userId,
      action: { in: ['formula.drafted', 'formula.changed', 'formula.submitted'] },
    },
  })) > 0

const load = async (db: Db | Tx, id: string): Promise<VersionWhole> => {
  const row = await db.formulaVersion.findUnique({ where: { id }, include: withFormula })
  if (row === null) throw new MillError('not-found')
  return row
}

const refuseUnfit = async (db: Db | Tx, row: VersionWhole, { revision, userId }: { revision: number; userId: string }): Promise<void> => {
  if (row.status !== 'submitted') throw guardFailed(row, revision, 'formula-not-submitted')
  if (row.revision !== revision) throw new MillError('stale-revision')
  if (await proposed(db, row, userId))
    throw fieldError('self-approval', 'password', 'self-approval', 'somebody else must approve what you proposed')
}

/** The mix of today's released lots inside these limits, or the reason why there is none. */
const pricedMix = (view: MixView): MixView & { costTotal: string } => {
  if (view.kind === 'optimal' && view.costTotal !== null) return { ...view, costTotal: view.costTotal }
  if (view.kind === 'failed') throw new MillError('solver-timeout', { reason: view.reason })
  throw new MillError('formula-infeasible', { conflict: view.conflict, leftOut: leftOutFacts(view.leftOut) })
}

/** Signs the limits of a version by the password; the version approved until now is withdrawn in the same transaction. */
export const approveVersion = command({
  roles: ['manager', 'nutritionist'],
  params: ById,
  input: ApproveVersionBody,
  ifMatch: true,
  output: VersionView,
  async prepare({ db, pool, actor, now }, { id, revision, password }) {
    const row = await load(db, id)
    await refuseUnfit(db, row, { revision, userId: actor.userId })
    await confirmPassword(db, actor, password)
    refuseBlocks(await checkVersion(db, row, now))
    const asked = {
      stage: row.formula.stage,
      limits: limitsOfRow(row),
      medication: medicationOfRow(row),
      batchKg: PRICED_KG,
      lots: 'released' as const,
    }
    const mix = pricedMix((await solveMix({ db, pool, now }, asked)).view)
    refuseBlocks(mix.findings)
    return { mix }
  },
  async run({ tx, actor, now, record }, { id, revision }, { mix }) {
    // Approvals of one formula stand in line, so that each sees the one before.
    await tx.$queryRaw`SELECT f.id FROM formula f JOIN formula_version v ON v.formula_id = f.id WHERE v.id = ${id}::uuid FOR UPDATE OF f`
    const row = await load(tx, id)
    await refuseUnfit(tx, row, { revision, userId: actor.userId })
    if (signedHash(row) !== row.contentHash) throw new Error(`version ${id} does not match what was submitted`)
    const mill = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { makingChargePerKg: true } })
    const pricePerKg = priceFrom({ costOfTonne: parseMoney(mix.costTotal), makingChargePerKg: mill.makingChargePerKg.toFixed(4) })
    const previous = await tx.formulaVersion.findFirst({ where: { formulaId: row.formulaId, status: 'approved' } })
    if (previous !== null) {
      const reason = `replaced by version ${row.version}`
      await tx.formulaVersion.update({
        where: { id: previous.id },
        data: { status: 'withdrawn', withdrawnBy: actor.userId, withdrawnAt: now, withdrawnReason: reason, revision: { increment: 1 } },
      })
      record('formula.withdrawn', 'formula-version', previous.id, { version: previous.version, from: 'approved', reason })
    }
    const { count } = await tx.formulaVersion.updateMany({
      where: { id, revision, status: 'submitted' },
      data: { status: 'approved', approvedBy: actor.userId, approvedAt: now, pricePerKg, costAtApproval: mix, revision: { increment: 1 } },
    })
    if (count === 0) throw new MillError('stale-revision')
    record('formula.approved', 'formula-version', id, {
      formula: row.formula.number,
      version: row.version,
      contentHash: row.contentHash,
      pricePerKg,
      costPerTonne: mix.costTotal,
      meaning: 'approved for mixing',
    })
    return wholeVersion(tx, id, now)
  },
})

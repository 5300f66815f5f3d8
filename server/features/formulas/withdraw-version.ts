import { ById } from '#contract/lists'
import { VersionView, WithdrawVersionBody } from '#contract/formulas'
import { MillError } from '#core/errors'
import { command } from '#platform/command'
import { guardFailed } from './version-guard.js'
import { wholeVersion } from './whole-version.js'

/** Takes an approved version out of use, or sends a submitted one back; either way it stays as it was, with the reason. */
export const withdrawVersion = command({
  roles: ['manager', 'nutritionist'],
  params: ById,
  input: WithdrawVersionBody,
  ifMatch: true,
  output: VersionView,
  async run({ tx, actor, now, record }, { id, revision, reason }) {
    const before = await tx.formulaVersion.findUnique({ where: { id } })
    if (before === null) throw new MillError('not-found')
    const { count } = await tx.formulaVersion.updateMany({
      where: { id, revision, status: { in: ['approved', 'submitted'] } },
      data: { status: 'withdrawn', withdrawnBy: actor.userId, withdrawnAt: now, withdrawnReason: reason, revision: { increment: 1 } },
    })
    if (count === 0) throw guardFailed(before, revision, 'formula-not-approved')
    record('formula.withdrawn', 'formula-version', id, { version: before.version, from: before.status, reason })
    return wholeVersion(tx, id, now)
  },
})

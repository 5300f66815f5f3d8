import { ById } from '#contract/lists'
import { LotView, ReleaseLotBody } from '#contract/lots'
import { fieldError, MillError } from '#core/errors'
import type { Finding } from '#core/safety/finding'
import type { Role } from '#platform/actor'
import { command } from '#platform/command'
import { addDays, dateOf } from '#platform/mill-day'
import { checkAncestors } from './derive-freeze.js'
import { loadComposition } from './lot-composition.js'
import { decideLot } from './lot-decision.js'
import { findingFacts, lastReleaseOf, loadCheckContext, releaseFindings } from './lot-safety.js'
import { lotView } from './lot-view.js'
import { loadMillTests } from './required-tests.js'

type Asked = { readonly role: Role; readonly reason: string; readonly stages: readonly string[] }

const judge = (findings: readonly Finding[], { role, reason, stages }: Asked): void => {
  const blocks = findings.filter(({ severity }) => severity === 'block')
  if (blocks.length > 0) throw new MillError('safety-block', { findings: findingFacts(blocks) })
  const warnings = findings.filter(({ severity }) => severity === 'warn')
  if (stages.length > 0 && reason.trim() === '')
    throw fieldError('bad-input', 'reason', 'say-why', 'say why it may enter the feed of these stages only')
  if (warnings.length === 0) return
  const facts = { findings: findingFacts(warnings) }
  if (role !== 'manager') throw new MillError('not-allowed', { ...facts, needs: 'manager' })
  if (reason.trim() !== '') return
  throw new MillError('bad-input', facts, [
    { path: 'reason', code: 'reason-needed', message: 'a warning stands against the release; say why it is right' },
  ])
}

/** Common practice, no source: what keeps longer than this is not asked to be tested again. */
const LATEST_RETEST_DAYS = 730

const checkRetestDay = (retestOn: string | null, today: string): void => {
  if (retestOn === null) return
  if (retestOn <= today) throw fieldError('bad-input', 'retestOn', 'day-after', `after today, ${today}`, { after: today })
  const latest = addDays(today, LATEST_RETEST_DAYS)
  if (retestOn > latest) throw fieldError('bad-input', 'retestOn', 'day-too-late', `not after ${latest}`, { latest })
}

/**
 * A lot may be released for the feed of some stages only, and with a day from which it is not used without a new result. A block cannot be overridden; a warning can, by the manager, with a reason that
 * is kept.
 */
export const releaseLot = command({
  roles: ['manager', 'laboratory'],
  params: ById,
  input: ReleaseLotBody,
  ifMatch: true,
  output: LotView,
  async run({ tx, actor, now, record }, { id, revision, reason, stages, retestOn }) {
    // As it is held: its hold and its last re-test date are judged before they are replaced.
    const held = await tx.lot.findUnique({ where: { id }, select: { retestOn: true, holdUntil: true, statusReason: true } })
    const terms = { releasedFor: [...new Set(stages)], retestOn: retestOn === null ? null : dateOf(retestOn), holdUntil: null }
    const row = await decideLot(tx, { id, revision, from: ['on-hold'], to: 'released', reason, actorId: actor.userId, now, terms })
    await checkAncestors(tx, row, stages)
    const composition = await loadComposition(tx, row)
    const context = await loadCheckContext(tx, now)
    checkRetestDay(retestOn, context.on)
    const own = await loadMillTests(tx, row.ingredientId)
    const findings = releaseFindings({ row: { ...row, ...held }, composition }, context, own, await lastReleaseOf(tx, id))
    judge(findings, { role: actor.role, reason, stages })
    const warned = findings.filter(({ severity }) => severity === 'warn')
    record('lot.released', 'lot', id, {
      number: row.number,
      reason,
      stages: terms.releasedFor,
      retestOn,
      warnings: warned.map(({ ruleId, what }) => `${ruleId} ${what.code}`),
    })
    return lotView(row)
  },
})

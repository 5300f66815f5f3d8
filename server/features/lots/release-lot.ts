import { ById } from '#contract/lists'
import { LotView, ReleaseLotBody } from '#contract/lots'
import { MillError } from '#core/errors'
import type { Finding } from '#core/safety/finding'
import type { Role } from '#platform/actor'
import { command } from '#platform/command'
import { loadComposition } from './lot-composition.js'
import { decideLot } from './lot-decision.js'
import { findingFacts, loadCheckContext, lotFindings } from './lot-safety.js'
import { lotView } from './lot-view.js'

const judge = (findings: readonly Finding[], role: Role, reason: string): void => {
  const blocks = findings.filter(({ severity }) => severity === 'block')
  if (blocks.length > 0) throw new MillError('safety-block', { findings: findingFacts(blocks) })
  const warnings = findings.filter(({ severity }) => severity === 'warn')
  if (warnings.length === 0) return
  const facts = { findings: findingFacts(warnings) }
  if (role !== 'manager') throw new MillError('not-allowed', { ...facts, needs: 'manager' })
  if (reason.trim() !== '') return
  throw new MillError('bad-input', facts, [
    { path: 'reason', code: 'reason-needed', message: 'a warning stands against the release; say why it is right' },
  ])
}

/** A block cannot be overridden; a warning can, by the manager, with a reason that is kept. */
export const releaseLot = command({
  roles: ['manager', 'laboratory'],
  params: ById,
  input: ReleaseLotBody,
  ifMatch: true,
  output: LotView,
  async run({ tx, actor, now, record }, { id, revision, reason }) {
    const row = await decideLot(tx, { id, revision, from: ['on-hold'], to: 'released', reason, actorId: actor.userId, now })
    const composition = await loadComposition(tx, row)
    const findings = lotFindings({ row, composition }, await loadCheckContext(tx, now))
    judge(findings, actor.role, reason)
    const warned = findings.filter(({ severity }) => severity === 'warn')
    record('lot.released', 'lot', id, { number: row.number, reason, warnings: warned.map(({ ruleId, what }) => `${ruleId} ${what.code}`) })
    return lotView(row)
  },
})

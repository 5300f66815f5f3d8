import { ById } from '#contract/lists'
import { LimitLotBody, LotView } from '#contract/lots'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'
import { narrowDerived } from './derive-freeze.js'
import { decideLot } from './lot-decision.js'
import { lotView } from './lot-view.js'
import { reportReserved, setAsideForOthers } from './report-reserved.js'

/**
 * From now on the lot enters the feed of these stages only: no mix of another stage is offered it, no plan can set it aside, and a load
 * planned with it before cannot begin. It can only become narrower; who wants it for more holds it and releases it again.
 */
export const limitLot = command({
  roles: ['manager', 'laboratory'],
  params: ById,
  input: LimitLotBody,
  ifMatch: true,
  output: LotView,
  async run(ctx, { id, revision, stages, reason }) {
    const { tx, actor, now, record } = ctx
    const before = await tx.lot.findUnique({ where: { id }, select: { releasedFor: true } })
    const wider = before && before.releasedFor.length > 0 ? stages.filter((stage) => !before.releasedFor.includes(stage)) : []
    if (wider.length > 0) throw fieldError('bad-input', 'stages', 'wider', `only of ${before?.releasedFor.join(', ')}`, { stages: wider })
    const terms = { releasedFor: [...new Set(stages)] }
    const row = await decideLot(tx, { id, revision, from: ['released'], to: 'released', reason, actorId: actor.userId, now, terms })
    if (await setAsideForOthers(tx, id, stages)) await reportReserved(ctx, row, { kind: 'limited-lot-reserved', reason })
    await narrowDerived(ctx, row, terms.releasedFor)
    record('lot.limited', 'lot', id, { number: row.number, stages: terms.releasedFor, reason })
    return lotView(row)
  },
})

import { ById } from '#contract/lists'
import { LimitLotBody, LotView } from '#contract/lots'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { narrowDerived } from './derive-freeze.js'
import { decideLot } from './lot-decision.js'
import { lotView } from './lot-view.js'
import { reportReserved } from './report-reserved.js'

const setAsideForOthers = async (tx: Tx, lotId: string, stages: readonly string[]): Promise<boolean> => {
  const rows = await tx.$queryRaw<unknown[]>`
    SELECT 1 FROM batch_line l JOIN batch b ON b.id = l.batch_id JOIN "order" o ON o.id = b.order_id
    JOIN formula_version v ON v.id = o.formula_version_id JOIN formula f ON f.id = v.formula_id
    WHERE l.lot_id = ${lotId}::uuid AND b.finished_at IS NULL AND b.status <> 'cancelled' AND NOT f.stage = ANY(${[...stages]}::text[])
    LIMIT 1`
  return rows.length > 0
}

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

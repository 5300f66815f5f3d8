import { ById } from '#contract/lists'
import { HoldLotBody, LotView } from '#contract/lots'
import { fieldError } from '#core/errors'
import { command } from '#platform/command'
import { addDays, dateOf, loadToday, plainDate } from '#platform/mill-day'
import { freezeDerived } from './derive-freeze.js'
import { decideLot } from './lot-decision.js'
import { lotView } from './lot-view.js'
import { reportReserved } from './report-reserved.js'

/**
 * A fumigated stack is opened after days, at most weeks; common practice, no source. Since such a day can only become later, a slip of the
 * pen in the year would shut the lot away for good.
 */
const LONGEST_HOLD_DAYS = 90

/**
 * A lot goes on hold, or stays on hold for longer: until somebody releases it, and with `until` by nobody before that day. A day that was
 * set can only become later: gas does not leave a stack sooner because somebody is in a hurry.
 */
export const holdLot = command({
  roles: ['manager', 'laboratory'],
  params: ById,
  input: HoldLotBody,
  ifMatch: true,
  output: LotView,
  async run(ctx, { id, revision, reason, until }) {
    const { tx, actor, now, record } = ctx
    const today = await loadToday(tx, now)
    if (until !== null && until <= today) throw fieldError('bad-input', 'until', 'day-after', `after today, ${today}`, { after: today })
    const latest = addDays(today, LONGEST_HOLD_DAYS)
    if (until !== null && until > latest) throw fieldError('bad-input', 'until', 'day-too-late', `not after ${latest}`, { latest })
    const before = await tx.lot.findUnique({ where: { id }, select: { holdUntil: true } })
    const standing = before?.holdUntil && plainDate(before.holdUntil) > today ? plainDate(before.holdUntil) : null
    if (standing !== null && until !== null && until < standing)
      throw fieldError('bad-input', 'until', 'day-set', `not before ${standing}, which was set already`, { after: standing })
    const last = until ?? standing
    const terms = { holdUntil: last === null ? null : dateOf(last) }
    const row = await decideLot(tx, {
      id,
      revision,
      from: ['on-hold', 'released'],
      to: 'on-hold',
      reason,
      actorId: actor.userId,
      now,
      terms,
    })
    await reportReserved(ctx, row, { kind: 'held-lot-reserved', reason })
    await freezeDerived(ctx, row, reason)
    record('lot.held', 'lot', id, { number: row.number, reason, until: last })
    return lotView(row)
  },
})

import { z } from 'zod'
import { ById } from '#contract/lists'
import { ProposalView, StockReasonBody } from '#contract/stock'
import { MillError } from '#core/errors'
import { formatKg, parseKg } from '#core/quantity/mass'
import { command, type CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import { writeOffFree } from './change-free.js'
import { lockLot } from './lock-lot.js'
import { wholeProposal } from './proposals.js'
import { compareCount } from './put-count.js'
import { recordCount } from './record-count.js'

type Open = NonNullable<Awaited<ReturnType<Tx['stockProposal']['findUnique']>>>

/**
 * Takes the decision by one guarded UPDATE, so that of two who decide at once only one does. Throws `self-approval` for whoever
 * proposed it, `wrong-state` when it was decided already, `stale-revision` otherwise. The lot is locked first, as all lock it first.
 */
const decide = async (
  ctx: CommandContext,
  id: string,
  revision: number,
  to: 'confirmed' | 'refused',
  reason: string | null,
): Promise<Open> => {
  const { tx, actor, now } = ctx
  const row = await tx.stockProposal.findUnique({ where: { id } })
  if (row === null) throw new MillError('not-found', { id })
  if (row.proposedBy === actor.userId) throw new MillError('self-approval', { proposalNumber: row.number })
  await lockLot(tx, row.lotId)
  const { count } = await tx.stockProposal.updateMany({
    where: { id, revision, status: 'waiting' },
    data: { status: to, decidedBy: actor.userId, decidedAt: now, decidedReason: reason, revision: { increment: 1 } },
  })
  if (count === 1) return row
  const seen = await tx.stockProposal.findUniqueOrThrow({ where: { id } })
  const facts = { proposalNumber: seen.number, status: seen.status, revision: seen.revision }
  throw new MillError(seen.status === 'waiting' ? 'stale-revision' : 'wrong-state', facts)
}

// The books may have changed since: what was entered late for an earlier time counts, and then another difference is confirmed than was seen.
const confirmCount = async (ctx: CommandContext, row: Open): Promise<string | null> => {
  const lot = await lockLot(ctx.tx, row.lotId)
  const counted = await compareCount(ctx.tx, lot, parseKg(row.kg.toFixed(3)), row.happenedAt)
  const [then, now] = [row.differenceKg.toFixed(3), formatKg(counted.change)]
  if (then !== now) {
    const facts = { proposalNumber: row.number, differenceThenKg: then, differenceNowKg: now }
    const message = `a difference of ${then} kg, as it was proposed; by the books it is now ${now} kg: refuse it and count again`
    throw new MillError('wrong-state', facts, [{ path: 'id', code: 'books-changed', message, facts }])
  }
  const { transferId } = await recordCount(ctx, lot, counted, { countedAt: row.happenedAt, countedBy: row.proposedBy, reason: row.reason })
  return transferId
}

const confirmWriteOff = async ({ tx, newId, record }: CommandContext, row: Open): Promise<string> => {
  const id = newId()
  const { lotId, happenedAt, reason, proposedBy: actorId } = row
  await writeOffFree(tx, { id, happenedAt, actorId, reason, lotId, kg: parseKg(row.kg.toFixed(3)) })
  record('lot.written-off', 'lot', lotId, { proposalNumber: row.number, kg: row.kg.toFixed(3), reason })
  return id
}

/** A second person stands for a large count or write-off: now it moves. Whoever entered it cannot. */
export const confirmProposal = command({
  roles: ['manager'],
  params: ById,
  input: z.strictObject({}),
  ifMatch: true,
  output: ProposalView,
  async run(ctx, { id, revision }) {
    const { tx, actor, record } = ctx
    const row = await decide(ctx, id, revision, 'confirmed', null)
    const transferId = row.kind === 'count' ? await confirmCount(ctx, row) : await confirmWriteOff(ctx, row)
    await tx.stockProposal.update({ where: { id }, data: { transferId } })
    record(`${row.kind}.confirmed`, 'lot', row.lotId, { number: row.number, differenceKg: row.differenceKg.toFixed(3) })
    return wholeProposal(tx, id, actor.userId)
  },
})

/** A second person does not believe it: nothing moves, and the reason is kept. */
export const refuseProposal = command({
  roles: ['manager'],
  params: ById,
  input: StockReasonBody,
  ifMatch: true,
  output: ProposalView,
  async run(ctx, { id, revision, reason }) {
    const row = await decide(ctx, id, revision, 'refused', reason)
    ctx.record(`${row.kind}.refused`, 'lot', row.lotId, { number: row.number, differenceKg: row.differenceKg.toFixed(3), reason })
    return wholeProposal(ctx.tx, id, ctx.actor.userId)
  },
})

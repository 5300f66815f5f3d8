import { MillError } from '#core/errors'
import { needsSecondPerson } from '#core/stock/second-person'
import { formatKg, type Grams } from '#core/quantity/mass'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'
import type { LockedLot } from './lock-lot.js'
import { gramsOf } from './post-transfer.js'

/** Whether the mill lets one person change so much of this lot alone. */
export const waitsForSecond = async (tx: Tx, lot: LockedLot, change: Grams): Promise<boolean> => {
  const { alonePct, aloneKg } = await tx.mill.findUniqueOrThrow({ where: { id: 1 }, select: { alonePct: true, aloneKg: true } })
  return needsSecondPerson(change, lot.received, { pct: alonePct.toFixed(2), atLeast: gramsOf(aloneKg.toFixed(3)) })
}

/** While a count or write-off of a lot waits, a second one would take the same kilograms twice. */
export const refuseWhileOneWaits = async (tx: Tx, lot: LockedLot): Promise<void> => {
  const waiting = await tx.stockProposal.findFirst({
    where: { lotId: lot.id, status: 'waiting' },
    include: { proposedByUser: { select: { name: true } } },
  })
  if (waiting === null) return
  const facts = { lotNumber: lot.number, proposalNumber: waiting.number, proposedBy: waiting.proposedByUser.name }
  const message = `a lot for which nothing waits; number ${waiting.number} by ${facts.proposedBy} waits to be confirmed or refused`
  throw new MillError('wrong-state', facts, [{ path: 'id', code: 'one-waits', message, facts }])
}

type Proposal = {
  readonly kind: 'count' | 'write-off'
  readonly kg: Grams
  readonly difference: Grams
  readonly happenedAt: Date
  readonly reason: string
}

/** Keeps a count or write-off for a second person; nothing moves. Gives its number. */
export const propose = async (
  { tx, actor, now, newId, record }: CommandContext,
  lot: LockedLot,
  { kg, difference, ...facts }: Proposal,
): Promise<number> => {
  const id = newId()
  const figures = { kg: formatKg(kg), differenceKg: formatKg(difference) }
  const { number } = await tx.stockProposal.create({
    data: { id, lotId: lot.id, ...facts, ...figures, proposedAt: now, proposedBy: actor.userId },
    select: { number: true },
  })
  record(`${facts.kind}.proposed`, 'lot', lot.id, { lotNumber: lot.number, number, ...figures, reason: facts.reason })
  return number
}

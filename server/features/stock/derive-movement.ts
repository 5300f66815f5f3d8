import { fieldError, MillError } from '#core/errors'
import { formatKg, grams, sumGrams, type Grams } from '#core/quantity/mass'
import type { LossKind, MakingKind } from '#core/stock/derived-lot'
import type { Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'
import { changeFree } from './change-free.js'
import { lockLot, shortOf } from './lock-lot.js'
import { gramsOf, postTransfer, type Entry, type Movement } from './post-transfer.js'
import { mirrored } from './reverse-transfer.js'

/** Kilograms of one lot that go into another; `path` is the field that asked for them. */
export type MadeLine = { readonly lotId: string; readonly grams: Grams; readonly path: string }
type Making = Movement & {
  readonly kind: MakingKind
  readonly lotId: string
  readonly lines: readonly MadeLine[]
  readonly got: Grams
  readonly lossKind: LossKind | null
  /** The mill's date: a lot may be used on the day it expires and on that of its re-test. */
  readonly today: string
}

const refusal = async (tx: Tx, { lotId, grams: needed, path }: MadeLine, today: string): Promise<MillError> => {
  const lot = await tx.lot.findUnique({ where: { id: lotId } })
  if (lot === null) return fieldError('not-found', path, 'unknown', 'there is no such lot', { lotId })
  const facts = { lotId, lotNumber: lot.number }
  const refused = (code: 'lot-not-released' | 'lot-expired', word: string, message: string, more: { readonly [name: string]: string }) =>
    new MillError(code, { ...facts, ...more }, [{ path, code: word, message, facts: { ...facts, ...more } }])
  if (lot.status === 'on-hold' || lot.status === 'rejected')
    return refused('lot-not-released', 'not-released', 'only of a released lot', { status: lot.status })
  const [expiresOn, retestOn] = [lot.expiresOn && plainDate(lot.expiresOn), lot.retestOn && plainDate(lot.retestOn)]
  if (expiresOn !== null && expiresOn < today) return refused('lot-expired', 'expired', `it expired on ${expiresOn}`, { expiresOn })
  if (retestOn !== null && retestOn < today)
    return refused('lot-not-released', 'retest-due', `it was to be tested again by ${retestOn}`, { retestOn })
  return shortOf(tx, lotId, path, needed)
}

/** One UPDATE holds the limit and the lot's state in its WHERE, so that of two who take the last kilogram one gets it. */
const take = async (tx: Tx, line: MadeLine, today: string): Promise<void> => {
  const kg = formatKg(line.grams)
  const changed = await tx.$executeRaw`
    UPDATE lot SET on_hand_kg = on_hand_kg - ${kg}::numeric,
      status = CASE WHEN on_hand_kg = ${kg}::numeric THEN 'used-up' ELSE status END,
      revision = revision + (on_hand_kg = ${kg}::numeric)::int
    WHERE id = ${line.lotId}::uuid AND status = 'released' AND (expires_on IS NULL OR expires_on >= ${today}::date)
      AND (retest_on IS NULL OR retest_on >= ${today}::date) AND on_hand_kg - reserved_kg >= ${kg}::numeric`
  if (changed !== 1) throw await refusal(tx, line, today)
}

const minus = (mass: Grams): Grams => grams(-mass)

/**
 * Kilograms of lots become another lot, whose row exists already with nothing on hand: all or nothing, in one movement. What is lost goes to
 * `loss`, what nobody can explain (or came out more than went in) to `unexplained`, both under the new lot. Lots are taken in ascending id.
 */
export const putMaking = async (tx: Tx, { lotId, lines, got, lossKind, today, ...movement }: Making): Promise<void> => {
  for (const line of lines.toSorted((a, b) => (a.lotId < b.lotId ? -1 : 1))) await take(tx, line, today)
  await tx.$executeRaw`UPDATE lot SET on_hand_kg = on_hand_kg + ${formatKg(got)}::numeric WHERE id = ${lotId}::uuid`
  const loss = grams(sumGrams(lines.map((line) => line.grams)) - got)
  const entries: Entry[] = [
    ...lines.map((line) => ({ account: 'lot-free', lotId: line.lotId, grams: minus(line.grams) }) as const),
    { account: 'lot-free', lotId, grams: got },
    { account: lossKind === 'not-explained' ? 'unexplained' : 'loss', lotId, grams: loss },
  ]
  await postTransfer(tx, { ...movement, entries })
}

type Undone = Omit<Movement, 'happenedAt'> & { readonly lotId: string; readonly transferId: string; readonly reason: string }

/**
 * A made lot of which nothing was used goes back into its parents by the mirror image of its movement. Throws `wrong-state` when it was
 * undone already, or when some of it is no longer there or set aside.
 */
export const undoMakingMovement = async (tx: Tx, { lotId, transferId, ...movement }: Undone): Promise<void> => {
  const find = () =>
    tx.stockTransfer.findUniqueOrThrow({ where: { id: transferId }, include: { entries: true, reversedBy: { select: { id: true } } } })
  const lotIds = new Set((await find()).entries.flatMap((entry) => entry.lotId ?? []))
  for (const id of [...lotIds].toSorted()) await lockLot(tx, id)
  const row = await find()
  const lot = await lockLot(tx, lotId)
  if (row.reversedBy !== null) throw new MillError('wrong-state', { lotNumber: lot.number, reversed: true })
  const entries = row.entries.map(mirrored)
  const got = gramsOf(
    formatKg(minus(sumGrams(entries.flatMap((one) => (one.lotId === lotId && one.account === 'lot-free' ? one.grams : []))))),
  )
  if (lot.onHand !== got || lot.reserved !== 0) {
    const facts = { lotNumber: lot.number, gotKg: formatKg(got), onHandKg: formatKg(lot.onHand), reservedKg: formatKg(lot.reserved) }
    const message = `only while all ${facts.gotKg} kg are there and nothing is set aside`
    throw new MillError('wrong-state', facts, [{ path: 'id', code: 'made-lot-used', message, facts }])
  }
  await tx.$executeRaw`
    UPDATE lot SET on_hand_kg = 0, status = 'used-up', status_reason = ${movement.reason}, decided_by = ${movement.actorId}::uuid,
      decided_at = now(), revision = revision + 1
    WHERE id = ${lotId}::uuid`
  for (const entry of entries.toSorted((a, b) => ((a.lotId ?? '') < (b.lotId ?? '') ? -1 : 1)))
    if (entry.lotId !== undefined && entry.lotId !== lotId && entry.account === 'lot-free')
      await changeFree(tx, { lotId: entry.lotId, change: entry.grams, path: 'id', actorId: movement.actorId })
  await postTransfer(tx, { ...movement, kind: 'reversal', happenedAt: row.happenedAt, reversesId: transferId, entries })
}

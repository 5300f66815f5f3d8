import { MillError } from '#core/errors'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { gramsOf, postTransfer, type Entry, type Line, type Movement } from './post-transfer.js'

export type IssueLine = { readonly lotId: string; readonly reservedKg: string; readonly actualKg: string }
type Issue = Movement & { readonly orderId: string; readonly batchId: string; readonly lines: readonly IssueLine[] }
type Weighed = { readonly lotId: string; readonly reserved: Grams; readonly actual: Grams }
type Balance = { readonly on_hand_kg: { toFixed(places: number): string }; readonly reserved_kg: { toFixed(places: number): string } }

const add = (a: Grams, b: Grams): Grams => grams(a + b)

const weighedByLot = (lines: readonly IssueLine[]): Weighed[] => {
  const sums = new Map<string, Weighed>()
  for (const { lotId, reservedKg, actualKg } of lines) {
    const known = sums.get(lotId) ?? { lotId, reserved: grams(0), actual: grams(0) }
    sums.set(lotId, { lotId, reserved: add(known.reserved, gramsOf(reservedKg)), actual: add(known.actual, gramsOf(actualKg)) })
  }
  return [...sums.values()].sort((a, b) => (a.lotId < b.lotId ? -1 : 1))
}

const issueLot = async (
  tx: Tx,
  batchId: string,
  { lotId, reserved, actual }: Weighed,
): Promise<{ entries: Entry[]; unexplained: Grams }> => {
  const [row] = await tx.$queryRaw<Balance[]>`SELECT on_hand_kg, reserved_kg FROM lot WHERE id = ${lotId}::uuid FOR UPDATE`
  if (row === undefined) throw new MillError('not-found', { lotId })
  const onHand = gramsOf(row.on_hand_kg.toFixed(3))
  const reservedInLot = gramsOf(row.reserved_kg.toFixed(3))
  if (reserved > reservedInLot) throw new MillError('wrong-state', { lotId, reservedKg: formatKg(reservedInLot) })
  // Beyond this batch's own reservation only free stock may go: what is set aside for others stays theirs in the books.
  const ceiling = grams(onHand - reservedInLot + reserved)
  const taken = grams(Math.min(actual, ceiling))
  const unexplained = grams(actual - taken)
  await tx.$executeRaw`
    UPDATE lot SET on_hand_kg = on_hand_kg - ${formatKg(taken)}::numeric, reserved_kg = reserved_kg - ${formatKg(reserved)}::numeric,
      status = CASE WHEN status = 'released' AND on_hand_kg = ${formatKg(taken)}::numeric THEN 'used-up' ELSE status END,
      revision = CASE WHEN status = 'released' AND on_hand_kg = ${formatKg(taken)}::numeric THEN revision + 1 ELSE revision END
    WHERE id = ${lotId}::uuid`
  const entries: Entry[] = [
    { account: 'lot-reserved', lotId, grams: grams(-reserved) },
    { account: 'lot-free', lotId, grams: grams(reserved - taken) },
    { account: 'unexplained', lotId, batchId, grams: grams(-unexplained) },
    { account: 'making', lotId, batchId, grams: actual },
  ]
  return { entries, unexplained }
}

/**
 * What was weighed into a batch leaves the lots. A fact is never refused: more than was reserved comes out of free stock, more than the
 * books hold comes out of `unexplained` and is returned so that a discrepancy can be opened; less goes back to free. A released lot with
 * nothing left becomes `used-up`.
 */
export const issueToBatch = async (tx: Tx, { orderId, batchId, lines, ...movement }: Issue): Promise<{ unexplained: Line[] }> => {
  const entries: Entry[] = []
  const unexplained: Line[] = []
  for (const line of weighedByLot(lines)) {
    const issued = await issueLot(tx, batchId, line)
    entries.push(...issued.entries)
    if (issued.unexplained > 0) unexplained.push({ lotId: line.lotId, kg: formatKg(issued.unexplained) })
  }
  await postTransfer(tx, { ...movement, kind: 'issue', orderId, batchId, entries })
  return { unexplained }
}

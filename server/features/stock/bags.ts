import { MillError } from '#core/errors'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { gramsOf, postTransfer, type Entry, type Movement } from './post-transfer.js'

type Making = Movement & { readonly orderId: string; readonly batchId: string; readonly inKg: string; readonly madeKg: string }

/** Feed leaves the mixer in bags. What is missing is a loss; what is more than went in is unexplained. */
export const makeBags = async (tx: Tx, { orderId, batchId, inKg, madeKg, ...movement }: Making): Promise<void> => {
  const wentIn = gramsOf(inKg)
  const made = gramsOf(madeKg)
  await tx.$executeRaw`UPDATE batch SET bags_on_hand_kg = bags_on_hand_kg + ${formatKg(made)}::numeric WHERE id = ${batchId}::uuid`
  const missing = grams(wentIn - made)
  await postTransfer(tx, {
    ...movement,
    kind: 'making',
    orderId,
    batchId,
    entries: [
      { account: 'making', batchId, grams: grams(-wentIn) },
      { account: 'bag', batchId, grams: made },
      { account: missing >= 0 ? 'loss' : 'unexplained', batchId, grams: missing },
    ],
  })
}

type WriteOff = Movement & { readonly orderId: string; readonly batchId: string; readonly kg: string; readonly reason: string }

/** Bags that nobody may be given leave the stock as a loss. Throws `stock-short` when the batch has fewer kilograms in bags. */
export const writeOffBags = async (tx: Tx, { orderId, batchId, kg, ...movement }: WriteOff): Promise<void> => {
  const mass = gramsOf(kg)
  const changed = await tx.$executeRaw`
    UPDATE batch SET bags_on_hand_kg = bags_on_hand_kg - ${formatKg(mass)}::numeric
    WHERE id = ${batchId}::uuid AND bags_on_hand_kg >= ${formatKg(mass)}::numeric`
  if (changed !== 1) throw new MillError('stock-short', { batchId, neededKg: formatKg(mass) })
  await postTransfer(tx, {
    ...movement,
    kind: 'write-off',
    orderId,
    batchId,
    entries: [
      { account: 'bag', batchId, grams: grams(-mass) },
      { account: 'loss', batchId, grams: mass },
    ],
  })
}

const refusal = async (tx: Tx, batchId: string, needed: Grams): Promise<MillError> => {
  const batch = await tx.batch.findUnique({ where: { id: batchId } })
  if (batch === null) return new MillError('not-found', { batchId })
  const facts = { batchNumber: batch.number, neededKg: formatKg(needed), freeKg: batch.bagsOnHandKg.toFixed(3) }
  return batch.status === 'done' ? new MillError('stock-short', facts) : new MillError('wrong-state', { ...facts, status: batch.status })
}

type Delivery = Movement & {
  readonly orderId: string
  readonly memberId: string
  readonly batches: readonly { readonly batchId: string; readonly kg: string }[]
  /** They were given already, from loads on hold too: a fact is booked as it is. */
  readonly evenHeld?: boolean
}

/** Bags go to the member. Throws `stock-short` when a batch has fewer kilograms in bags, `wrong-state` when it is not done (on hold). */
export const deliverBags = async (tx: Tx, { orderId, memberId, batches, evenHeld = false, ...movement }: Delivery): Promise<void> => {
  const from = evenHeld ? ['done', 'on-hold'] : ['done']
  const entries: Entry[] = []
  for (const { batchId, kg } of [...batches].sort((a, b) => (a.batchId < b.batchId ? -1 : 1))) {
    const mass = gramsOf(kg)
    const changed = await tx.$executeRaw`
      UPDATE batch SET bags_on_hand_kg = bags_on_hand_kg - ${formatKg(mass)}::numeric
      WHERE id = ${batchId}::uuid AND status = ANY(${from}::text[]) AND bags_on_hand_kg >= ${formatKg(mass)}::numeric`
    if (changed !== 1) throw await refusal(tx, batchId, mass)
    entries.push({ account: 'bag', batchId, grams: grams(-mass) }, { account: 'member', batchId, memberId, grams: mass })
  }
  await postTransfer(tx, { ...movement, kind: 'delivery', orderId, entries })
}

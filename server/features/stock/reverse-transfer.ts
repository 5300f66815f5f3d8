import { MillError } from '#core/errors'
import { grams, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import type { Prisma, Tx } from '#platform/database/client'
import { changeFree } from './change-free.js'
import { lockLot } from './lock-lot.js'
import { postTransfer, type Entry, type Movement } from './post-transfer.js'

/** What stands in the books of a lot alone. What belongs to an order or a load is taken back there: cancel, plan again, write off. */
const REVERSIBLE: ReadonlySet<string> = new Set(['receipt', 'count', 'write-off', 'return'])

const withEntries = {
  entries: { orderBy: { id: 'asc' } },
  reversedBy: { select: { id: true } },
} as const satisfies Prisma.StockTransferInclude
type MirroredEntry = Pick<Prisma.StockEntryGetPayload<object>, 'account' | 'lotId' | 'supplierId' | 'kg'>
type Row = Prisma.StockTransferGetPayload<{ include: typeof withEntries }>

export const isReversible = (row: { kind: string; orderId: string | null; batchId: string | null; reversedBy: object | null }): boolean =>
  REVERSIBLE.has(row.kind) && row.orderId === null && row.batchId === null && row.reversedBy === null

const load = async (tx: Tx, id: string): Promise<Row> => {
  const row = await tx.stockTransfer.findUnique({ where: { id }, include: withEntries })
  if (row === null) throw new MillError('not-found', { id })
  return row
}

export const mirrored = ({ account, lotId, supplierId, kg }: MirroredEntry): Entry => ({
  account: account as Entry['account'],
  ...(lotId !== null && { lotId }),
  ...(supplierId !== null && { supplierId }),
  grams: grams(-parseKg(kg.toFixed(3))),
})

type Reversal = Omit<Movement, 'happenedAt'> & { readonly reversesId: string; readonly reason: string }
export type Reversed = { readonly lotId: string; readonly lotNumber: number; readonly kind: string; readonly change: Grams }

/**
 * A movement that was typed wrongly is taken back by its mirror image, at the moment at which the wrong one was said to happen: so the
 * figures as of that moment are right, and those as of when it was entered still show what the books said. Throws `wrong-state` for a
 * movement of an order or load or one taken back already, and `stock-short` when what it brought is no longer free.
 */
export const reverseTransfer = async (tx: Tx, { reversesId, ...movement }: Reversal): Promise<Reversed> => {
  const lotId = (await load(tx, reversesId)).entries.find((entry) => entry.lotId !== null)?.lotId ?? null
  if (lotId === null) throw new MillError('wrong-state', { id: reversesId })
  // Read again under the lot's lock, so that of two who take it back at once the second sees the first.
  const lot = await lockLot(tx, lotId)
  const row = await load(tx, reversesId)
  if (!isReversible(row)) throw new MillError('wrong-state', { id: reversesId, kind: row.kind, reversed: row.reversedBy !== null })
  const entries = row.entries.map(mirrored)
  const change = sumGrams(entries.filter(({ account }) => account === 'lot-free').map((entry) => entry.grams))
  await changeFree(tx, { lotId, change, path: 'id', actorId: movement.actorId })
  await postTransfer(tx, { ...movement, kind: 'reversal', happenedAt: row.happenedAt, reversesId, entries })
  return { lotId, lotNumber: lot.number, kind: row.kind, change }
}

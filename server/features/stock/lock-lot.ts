import { MillError } from '#core/errors'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Tx } from '#platform/database/client'
import { gramsOf } from './post-transfer.js'

type Kg = { toFixed(places: number): string }
type Row = {
  number: number
  supplier_id: string
  status: string
  made_by: string | null
  received_at: Date
  net_kg: Kg
  on_hand_kg: Kg
  reserved_kg: Kg
}
export type LockedLot = {
  readonly id: string
  readonly number: number
  readonly supplierId: string
  readonly status: string
  readonly madeBy: string | null
  readonly receivedAt: Date
  readonly received: Grams
  readonly onHand: Grams
  readonly reserved: Grams
  readonly free: Grams
}

/** A lot, held until COMMIT: whoever counts, writes off, returns or corrects the same lot meanwhile waits and then sees what was done. */
export const lockLot = async (tx: Tx, id: string): Promise<LockedLot> => {
  const [row] = await tx.$queryRaw<Row[]>`
    SELECT number, supplier_id, status, made_by, received_at, net_kg, on_hand_kg, reserved_kg FROM lot WHERE id = ${id}::uuid FOR UPDATE`
  if (row === undefined) throw new MillError('not-found', { lotId: id })
  const [received, onHand, reserved] = [row.net_kg, row.on_hand_kg, row.reserved_kg].map((kg) => gramsOf(kg.toFixed(3))) as [
    Grams,
    Grams,
    Grams,
  ]
  const { number, supplier_id: supplierId, status, made_by: madeBy, received_at: receivedAt } = row
  return { id, number, supplierId, status, madeBy, receivedAt, received, onHand, reserved, free: grams(onHand - reserved) }
}

export type Holder = { readonly orderNumber: number; readonly kg: string }

/** The orders for which kilograms of a lot are set aside, by what the ledger moved for each. */
export const whoHolds = async (tx: Tx, lotId: string): Promise<Holder[]> => {
  const rows = await tx.$queryRaw<{ number: number; kg: Kg }[]>`
    SELECT o.number, sum(e.kg) AS kg
    FROM stock_entry e JOIN stock_transfer t ON t.id = e.transfer_id JOIN "order" o ON o.id = t.order_id
    WHERE e.lot_id = ${lotId}::uuid AND e.account = 'lot-reserved'
    GROUP BY o.number HAVING sum(e.kg) > 0 ORDER BY o.number`
  return rows.map(({ number, kg }) => ({ orderNumber: number, kg: kg.toFixed(3) }))
}

/** Refused for want of free kilograms, naming the field, what is free and for whom the rest is set aside. */
export const shortOf = async (tx: Tx, lotId: string, path: string, needed: Grams): Promise<MillError> => {
  const lot = await lockLot(tx, lotId)
  const facts = {
    lotId,
    lotNumber: lot.number,
    neededKg: formatKg(needed),
    freeKg: formatKg(lot.free),
    reservedKg: formatKg(lot.reserved),
    holders: await whoHolds(tx, lotId),
  }
  const message = `at most ${facts.freeKg} kg, which is free; the rest is set aside for orders`
  return new MillError('stock-short', facts, [{ path, code: 'more-than-free', message, facts }])
}

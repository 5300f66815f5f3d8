import type { z } from 'zod'
import type { StockProofView } from '#contract/stock'
import { verifyAudit } from '#platform/audit/verify'
import type { Db, Tx } from '#platform/database/client'

type Kg = { toFixed(places: number): string }
const kg = (value: Kg | null): string => (value === null ? '0.000' : value.toFixed(3))

type Sums = { transfers: number; entries: number; sum: Kg | null; unbalanced: number; lots: number }
const readSums = (tx: Tx): Promise<Sums[]> => tx.$queryRaw<Sums[]>`
  SELECT (SELECT count(*)::int FROM stock_transfer) AS transfers, count(*)::int AS entries, sum(kg) AS sum,
    (SELECT count(*)::int FROM (
      SELECT t.id FROM stock_transfer t LEFT JOIN stock_entry e ON e.transfer_id = t.id
      GROUP BY t.id HAVING coalesce(sum(e.kg), 0) <> 0 OR count(e.id) < 2) AS broken) AS unbalanced,
    (SELECT count(*)::int FROM lot) AS lots
  FROM stock_entry`

/** So many are named; one who tampers with more is found by the first. */
const NAMED = 50
type BrokenRow = { id: string; kind: string; happened_at: Date; actor: string; entries: number; sum: Kg; lots: number[] }
const readUnbalanced = (tx: Tx): Promise<BrokenRow[]> => tx.$queryRaw<BrokenRow[]>`
  SELECT t.id, t.kind, t.happened_at, u.name AS actor, count(e.id)::int AS entries, coalesce(sum(e.kg), 0) AS sum,
    coalesce(array_agg(DISTINCT lot.number) FILTER (WHERE lot.number IS NOT NULL), '{}') AS lots
  FROM stock_transfer t JOIN app_user u ON u.id = t.actor_id
    LEFT JOIN stock_entry e ON e.transfer_id = t.id LEFT JOIN lot ON lot.id = e.lot_id
  GROUP BY t.id, u.name HAVING coalesce(sum(e.kg), 0) <> 0 OR count(e.id) < 2
  ORDER BY t.entered_at, t.id LIMIT ${NAMED}`

type LotRow = { number: number; on_hand_kg: Kg; reserved_kg: Kg; ledger_on_hand: Kg | null; ledger_reserved: Kg | null }
const readLotDifferences = (tx: Tx): Promise<LotRow[]> => tx.$queryRaw<LotRow[]>`
  WITH ledger AS (
    SELECT lot_id, sum(kg) AS on_hand, coalesce(sum(kg) FILTER (WHERE account = 'lot-reserved'), 0) AS reserved
    FROM stock_entry WHERE account IN ('lot-free', 'lot-reserved') GROUP BY lot_id)
  SELECT lot.number, lot.on_hand_kg, lot.reserved_kg, ledger.on_hand AS ledger_on_hand, ledger.reserved AS ledger_reserved
  FROM lot LEFT JOIN ledger ON ledger.lot_id = lot.id
  WHERE lot.on_hand_kg <> coalesce(ledger.on_hand, 0) OR lot.reserved_kg <> coalesce(ledger.reserved, 0)
  ORDER BY lot.number`

type BagRow = { number: number; bags_on_hand_kg: Kg; ledger: Kg | null }
const readBagDifferences = (tx: Tx): Promise<BagRow[]> => tx.$queryRaw<BagRow[]>`
  WITH ledger AS (SELECT batch_id, sum(kg) AS kg FROM stock_entry WHERE account = 'bag' GROUP BY batch_id)
  SELECT batch.number, batch.bags_on_hand_kg, ledger.kg AS ledger
  FROM batch LEFT JOIN ledger ON ledger.batch_id = batch.id
  WHERE batch.bags_on_hand_kg <> coalesce(ledger.kg, 0) ORDER BY batch.number`

const readAccounts = (tx: Tx): Promise<{ account: string; kg: Kg }[]> => tx.$queryRaw<{ account: string; kg: Kg }[]>`
  SELECT account, sum(kg) AS kg FROM stock_entry GROUP BY account ORDER BY account`

const read = async (tx: Tx, at: Date): Promise<z.output<typeof StockProofView>> => {
  const [sums] = await readSums(tx)
  if (sums === undefined) throw new Error('A count gave no row')
  const broken = sums.unbalanced === 0 ? [] : await readUnbalanced(tx)
  const lots = await readLotDifferences(tx)
  const bags = await readBagDifferences(tx)
  const accounts = await readAccounts(tx)
  const audit = await verifyAudit(tx)
  const auditBrokenAt = audit.ok ? null : Number(audit.brokenAt)
  return {
    at: at.toISOString(),
    whole: kg(sums.sum) === '0.000' && sums.unbalanced === 0 && lots.length === 0 && bags.length === 0 && audit.ok,
    transfers: sums.transfers,
    entries: sums.entries,
    sumKg: kg(sums.sum),
    unbalancedTransfers: sums.unbalanced,
    unbalancedMovements: broken.map((row) => ({
      id: row.id,
      kind: row.kind,
      happenedAt: row.happened_at.toISOString(),
      actor: row.actor,
      entries: row.entries,
      sumKg: kg(row.sum),
      lotNumbers: row.lots,
    })),
    lots: sums.lots,
    lotDifferences: lots.map((row) => ({
      lotNumber: row.number,
      onHandKg: kg(row.on_hand_kg),
      ledgerOnHandKg: kg(row.ledger_on_hand),
      reservedKg: kg(row.reserved_kg),
      ledgerReservedKg: kg(row.ledger_reserved),
    })),
    bagDifferences: bags.map((row) => ({ batchNumber: row.number, onHandKg: kg(row.bags_on_hand_kg), ledgerKg: kg(row.ledger) })),
    auditEntries: audit.rows,
    auditHead: audit.ok ? audit.headHash : '',
    auditBrokenAt,
    auditFault: audit.ok ? null : audit.reason,
    accounts: accounts.map((row) => ({ account: row.account, kg: kg(row.kg) })),
  }
}

/** The sums that must agree, computed afresh from the ledger in one snapshot: every difference is named, and `whole` says there is none. */
export const proveStock = (db: Db, at: Date = new Date()): Promise<z.output<typeof StockProofView>> =>
  db.$transaction((tx) => read(tx, at), { isolationLevel: 'RepeatableRead', timeout: 60_000 })

import { z } from 'zod'
import { listQuery } from './lists.js'
import { Instant, KgView } from './quantities.js'

export const MovementListQuery = listQuery(
  ['enteredAt', 'happenedAt'],
  { lotId: z.uuid().optional(), orderId: z.uuid().optional(), batchId: z.uuid().optional() },
  'desc',
)
export const MovementView = z
  .object({
    id: z.uuid(),
    kind: z.string(),
    happenedAt: Instant,
    enteredAt: Instant,
    actor: z.string(),
    reason: z.string(),
    orderNumber: z.number().int().nullable(),
    batchNumber: z.number().int().nullable(),
    entries: z.array(
      z.object({
        account: z.string(),
        lotNumber: z.number().int().nullable(),
        batchNumber: z.number().int().nullable(),
        whose: z.string().nullable(),
        kg: KgView,
      }),
    ),
  })
  .meta({ id: 'StockMovement' })

/** The sums that must agree, computed afresh from the ledger. */
export const StockProofView = z
  .object({
    at: Instant,
    whole: z.boolean(),
    transfers: z.number().int(),
    entries: z.number().int(),
    sumKg: KgView,
    unbalancedTransfers: z.number().int(),
    lots: z.number().int(),
    lotDifferences: z.array(
      z.object({ lotNumber: z.number().int(), onHandKg: KgView, ledgerOnHandKg: KgView, reservedKg: KgView, ledgerReservedKg: KgView }),
    ),
    bagDifferences: z.array(z.object({ batchNumber: z.number().int(), onHandKg: KgView, ledgerKg: KgView })),
    auditEntries: z.number().int(),
    auditHead: z.string(),
    auditBrokenAt: z.number().int().nullable(),
    accounts: z.array(z.object({ account: z.string(), kg: KgView })),
  })
  .meta({ id: 'StockProof' })

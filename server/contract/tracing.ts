import { z } from 'zod'
import { Instant, KgView } from './quantities.js'

export const TraceQuery = z.strictObject({
  from: z.enum(['lot', 'batch', 'order', 'supplier', 'member']),
  number: z.coerce.number().int().min(1).optional().describe('the number people say: lot 44, batch 211, order 1052, member 12'),
  id: z.uuid().optional(),
})
export const TraceView = z
  .object({
    asked: z.object({ kind: z.string(), id: z.string(), label: z.string() }),
    at: Instant,
    nodes: z.array(
      z.object({
        id: z.string(),
        kind: z.enum(['supplier', 'lot', 'batch', 'order', 'member']),
        number: z.number().int().nullable(),
        label: z.string(),
        detail: z.string(),
        status: z.string(),
        kg: KgView.nullable(),
      }),
    ),
    edges: z.array(z.object({ from: z.string(), to: z.string(), kg: KgView, certain: z.boolean() })),
    totals: z.object({
      lots: z.number().int(),
      batches: z.number().int(),
      orders: z.number().int(),
      members: z.number().int(),
      madeKg: KgView,
      collectedKg: KgView,
      bagsOnHandKg: KgView,
    }),
    /** Forward from a lot: received = used + free + reserved + lost, to the gram. */
    balance: z.object({ receivedKg: KgView, usedKg: KgView, onHandKg: KgView, otherKg: KgView, differenceKg: KgView }).nullable(),
  })
  .meta({ id: 'Trace' })

import type { FindingView } from '#contract/findings'
import { MillError } from '#core/errors'
import { openDiscrepancy } from '#features/production/open-discrepancy'
import type { CommandContext } from '#platform/command'
import type { Tx } from '#platform/database/client'

export type Load = {
  readonly id: string
  readonly number: number
  readonly status: string
  readonly kg: string
  readonly madeKg: { toFixed: (places: number) => string } | null
  readonly bestBefore: Date | null
  readonly finishedAt: Date | null
}

/** What was made for the order, with the kilograms that are still in bags. */
export const loadsOf = async (tx: Tx, orderId: string): Promise<Load[]> => {
  const batches = await tx.batch.findMany({
    where: { orderId, status: { not: 'cancelled' } },
    select: { id: true, number: true, status: true, bagsOnHandKg: true, madeKg: true, bestBefore: true, finishedAt: true },
    orderBy: { number: 'asc' },
  })
  return batches.map(({ bagsOnHandKg, ...batch }) => ({ ...batch, kg: bagsOnHandKg.toFixed(3) }))
}

/** Bags are given from loads that are done; those that were given already can be of a load on hold, never of one not yet mixed. */
export const requireBagged = (loads: readonly Load[], evenHeld: boolean): void => {
  const not = loads.find(({ status, madeKg }) => status !== 'done' && !(evenHeld && status === 'on-hold' && madeKg !== null))
  if (not !== undefined) throw new MillError('wrong-state', { batchNumber: not.number, status: not.status })
}

export type HandedOver = {
  readonly order: { readonly id: string; readonly number: number }
  readonly sheet: string
  readonly at: Date
  readonly code: { readonly right: boolean; readonly given: boolean }
  readonly loads: readonly Load[]
  readonly findings: readonly FindingView[]
}

/** Bags that are gone are booked, whatever should have kept them back; the manager is told of each thing that should have. */
export const tellOfHandOver = async (ctx: CommandContext, { order, sheet, at, code, loads, findings }: HandedOver): Promise<void> => {
  const [about, facts] = [{ orderId: order.id }, { sheet, orderNumber: order.number }]
  if (!code.right) await openDiscrepancy(ctx, 'handed-over-without-code', about, { ...facts, given: code.given })
  const held = loads.filter(({ status, kg }) => status === 'on-hold' && Number(kg) > 0)
  for (const { id, number } of held)
    await openDiscrepancy(ctx, 'handed-over-on-hold', { ...about, batchId: id }, { ...facts, batchNumber: number })
  // An hour was misread, or its load was entered with a later one.
  for (const { id, number } of loads.filter(({ finishedAt }) => finishedAt !== null && at < finishedAt))
    await openDiscrepancy(ctx, 'sheet-before-load', { ...about, batchId: id }, { ...facts, batchNumber: number })
  const rules = findings.filter(({ severity }) => severity === 'block').map(({ ruleId }) => ruleId)
  if (rules.length > 0) await openDiscrepancy(ctx, 'handed-over-unsafe', about, { ...facts, rules: [...new Set(rules)].join(', ') })
}

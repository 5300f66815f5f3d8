import type { z } from 'zod'
import { FindingView } from '#contract/findings'
import { MixView, type MixView as Mix } from '#contract/formulas'
import { ORDER_STATUSES, type OrderDetailView, type OrderView } from '#contract/orders'
import { formatKg } from '#core/quantity/mass'
import { plainDate } from '#platform/mill-day'
import type { Actor } from '#platform/actor'
import type { Prisma } from '#platform/database/client'
import { baggedOf } from './order-price.js'

export const withNames = {
  member: { select: { name: true } },
  flock: { select: { name: true, birds: true } },
  formulaVersion: { include: { formula: true } },
  batches: {
    orderBy: { loadOfOrder: 'asc' },
    select: {
      id: true,
      number: true,
      loadKg: true,
      gapPct: true,
      proven: true,
      bagsCostPct: true,
      status: true,
      startedAt: true,
      madeKg: true,
    },
  },
} as const satisfies Prisma.OrderInclude
export type OrderRow = Prisma.OrderGetPayload<{ include: typeof withNames }>

export type OrderStatus = (typeof ORDER_STATUSES)[number]
const statusOf = (word: string): OrderStatus => {
  const known = ORDER_STATUSES.find((status) => status === word)
  if (known === undefined) throw new Error(`unknown order status ${word}`)
  return known
}
const moment = (date: Date | null): string | null => date?.toISOString() ?? null

const READY: readonly OrderStatus[] = ['ready', 'collected']
const baggedKgOf = (row: OrderRow): string | null =>
  READY.includes(statusOf(row.status)) && row.batches.length > 0 ? formatKg(baggedOf(row.batches)) : null

/** `showCode`: its member sees the code, staff ask for it; whoever places an order for a member gets it once, for the slip. */
export const orderView = (row: OrderRow, { bagKg, showCode }: { bagKg: string; showCode: boolean }): z.output<typeof OrderView> => ({
  id: row.id,
  number: row.number,
  memberId: row.memberId,
  memberName: row.member.name,
  flockId: row.flockId,
  flockName: row.flock.name,
  birds: row.flock.birds,
  formulaVersionId: row.formulaVersionId,
  formulaId: row.formulaVersion.formulaId,
  feedNameEn: row.formulaVersion.formula.nameEn,
  feedNameSw: row.formulaVersion.formula.nameSw,
  stage: row.formulaVersion.formula.stage,
  medicated: row.formulaVersion.medication !== null,
  kg: row.kg.toFixed(3),
  bagKg,
  dueOn: plainDate(row.dueOn),
  status: statusOf(row.status),
  pricePerKg: row.pricePerKg.toFixed(4),
  priceTotal: row.priceTotal.toFixed(2),
  baggedKg: baggedKgOf(row),
  collectionCode: showCode ? row.collectionCode : null,
  placedAt: row.placedAt.toISOString(),
  plannedAt: moment(row.plannedAt),
  readyAt: moment(row.readyAt),
  collectedAt: moment(row.collectedAt),
  cancelledAt: moment(row.cancelledAt),
  cancelReason: row.cancelReason,
  revision: row.revision,
})

const mixOf = (row: OrderRow): Mix | null => (row.mix === null ? null : MixView.parse((row.mix as { view?: unknown }).view))

/** What the mill mixes and what it costs the mill is for staff; a member gets the order without it. */
export const orderDetailView = (row: OrderRow, { bagKg, actor }: { bagKg: string; actor: Actor }): z.output<typeof OrderDetailView> => {
  const own = actor.role === 'member'
  return {
    ...orderView(row, { bagKg, showCode: own }),
    mix: own ? null : mixOf(row),
    costTotal: own ? null : (row.costTotal?.toFixed(2) ?? null),
    findings: FindingView.array().parse(row.findings),
    batches: own
      ? []
      : row.batches.map(({ id, number, loadKg, gapPct, proven, bagsCostPct, status, startedAt, madeKg }) => ({
          id,
          number,
          loadKg: loadKg.toFixed(3),
          gapPct,
          proven,
          bagsCostPct,
          status,
          startedAt: moment(startedAt),
          madeKg: madeKg?.toFixed(3) ?? null,
        })),
  }
}

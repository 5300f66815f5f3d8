import { grams, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { costOf, parsePricePerKg, sumCents, type Cents } from '#core/quantity/money'
import type { Line } from '#features/stock/ledger'
import { formatKg } from '#core/quantity/mass'
import type { Db, Prisma, Tx } from '#platform/database/client'

/** Loads that nobody began, waiting or held: their kilograms can still be planned differently or given up. */
export const UNBEGUN = { status: { in: ['planned', 'on-hold'] }, startedAt: null } as const satisfies Prisma.BatchWhereInput

export type OpenLoads = {
  readonly ids: readonly string[]
  /** Which loads in which revision: while this is the same, nobody began, held or let go one of them. */
  readonly seen: string
  readonly mass: Grams
  readonly mixerId: string | null
  /** What is set aside for them, lot by lot. */
  readonly reserved: ReadonlyMap<string, Grams>
  /** At least one load of the order was begun. */
  readonly othersBegun: boolean
}

export const loadOpenLoads = async (db: Db | Tx, orderId: string): Promise<OpenLoads> => {
  const loads = await db.batch.findMany({
    where: { orderId, ...UNBEGUN },
    orderBy: { loadOfOrder: 'asc' },
    select: { id: true, revision: true, loadKg: true, mixerId: true, lines: { select: { lotId: true, targetKg: true } } },
  })
  const reserved = new Map<string, Grams>()
  for (const { lotId, targetKg } of loads.flatMap(({ lines }) => lines)) {
    if (lotId !== null) reserved.set(lotId, grams((reserved.get(lotId) ?? 0) + parseKg(targetKg.toFixed(3))))
  }
  return {
    ids: loads.map(({ id }) => id),
    seen: loads.map(({ id, revision }) => `${id} ${revision}`).join(', '),
    mass: sumGrams(loads.map(({ loadKg }) => parseKg(loadKg.toFixed(3)))),
    mixerId: loads[0]?.mixerId ?? null,
    reserved,
    othersBegun: (await db.batch.count({ where: { orderId, startedAt: { not: null } } })) > 0,
  }
}

export const reservedLines = ({ reserved }: OpenLoads): Line[] => [...reserved].map(([lotId, mass]) => ({ lotId, kg: formatKg(mass) }))

/** They will not be made; what was set aside for them is given back by the caller. */
export const cancelOpenLoads = async (tx: Tx, { ids }: OpenLoads, reason: string): Promise<void> => {
  await tx.batch.updateMany({
    where: { id: { in: [...ids] } },
    data: { status: 'cancelled', statusReason: reason, revision: { increment: 1 } },
  })
}

/** What was paid for what these loads would have taken. */
export const costOfOpenLoads = async (tx: Tx, { reserved }: OpenLoads): Promise<Cents> => {
  const lots = await tx.lot.findMany({ where: { id: { in: [...reserved.keys()] } }, select: { id: true, pricePerKg: true } })
  return sumCents(lots.map(({ id, pricePerKg }) => costOf(reserved.get(id) ?? parseKg('0.000'), parsePricePerKg(pricePerKg.toFixed(4)))))
}

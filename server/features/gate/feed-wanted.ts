import { formatKg, grams, parseKg, type Grams } from '#core/quantity/mass'
import type { Db, Prisma } from '#platform/database/client'
import { addDays, dateOf } from '#platform/mill-day'

const withFormula = { formula: true } as const satisfies Prisma.FormulaVersionInclude
type Version = Prisma.FormulaVersionGetPayload<{ include: typeof withFormula }>

/** So much of a feed the mill will make in the days it looks ahead. */
export type FeedWanted = { readonly version: Version; readonly kg: string; readonly by: 'orders' | 'recent-use' }

/** Four weeks hold every day of the week four times, and last month's flocks are still the flocks of today. Common practice, no source. */
const RECENT_DAYS = 28

const totals = (rows: readonly { readonly formulaId: string; readonly kg: Grams }[]): ReadonlyMap<string, Grams> => {
  const sums = new Map<string, Grams>()
  for (const { formulaId, kg } of rows) sums.set(formulaId, grams((sums.get(formulaId) ?? 0) + kg))
  return sums
}

/** Orders that nobody has planned yet and that are due in these days, late ones too. What is planned has its lots set aside already. */
const ordered = async (db: Db, until: string): Promise<ReadonlyMap<string, Grams>> => {
  const rows = await db.order.findMany({
    where: { status: 'ordered', dueOn: { lte: dateOf(until) } },
    select: { kg: true, formulaVersion: { select: { formulaId: true } } },
  })
  return totals(rows.map(({ kg, formulaVersion: { formulaId } }) => ({ formulaId, kg: parseKg(kg.toFixed(3)) })))
}

const madeLately = async (db: Db, today: string): Promise<ReadonlyMap<string, Grams>> => {
  const rows = await db.batch.findMany({
    where: { finishedAt: { gte: dateOf(addDays(today, -RECENT_DAYS)) }, madeKg: { not: null } },
    select: { madeKg: true, order: { select: { formulaVersion: { select: { formulaId: true } } } } },
  })
  return totals(
    rows.map(({ madeKg, order }) => ({ formulaId: order.formulaVersion.formulaId, kg: parseKg(madeKg?.toFixed(3) ?? '0.000') })),
  )
}

/**
 * What the mill will make of each approved formula in some days: its open orders, or as much as it made lately in so many days, whichever
 * is more. Orders come in a few days before they are due, so those of today alone would leave out the second week.
 */
export const loadFeedWanted = async (db: Db, today: string, days: number): Promise<FeedWanted[]> => {
  const orders = await ordered(db, addDays(today, days))
  const made = await madeLately(db, today)
  const versions = await db.formulaVersion.findMany({
    where: { status: 'approved' },
    include: withFormula,
    orderBy: { formula: { number: 'asc' } },
  })
  return versions.flatMap((version): FeedWanted[] => {
    const open = orders.get(version.formulaId) ?? 0
    const recent = Math.round(((made.get(version.formulaId) ?? 0) * days) / RECENT_DAYS)
    const most = Math.max(open, recent)
    return most === 0 ? [] : [{ version, kg: formatKg(grams(most)), by: open >= recent ? 'orders' : 'recent-use' }]
  })
}

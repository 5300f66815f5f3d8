import type { z } from 'zod'
import type { HomeView } from '#contract/home'
import { analysesFor } from '#core/safety/lot-duties'
import { loadTested } from '#features/lots/lot-safety'
import { withNames, type LotRow } from '#features/lots/lot-view'
import type { Db } from '#platform/database/client'
import { dateOf, daysBetween, plainDate } from '#platform/mill-day'

type Home = z.output<typeof HomeView>
/** What people can look through at a glance. */
const SHOWN = 20
const SOONEST = 5

const names = { ingredient: { select: { nameEn: true, nameSw: true, category: true } } } as const
const shown = ({ id, number, ingredient }: { id: string; number: number; ingredient: { nameEn: string; nameSw: string } }) => ({
  id,
  number,
  ingredientNameEn: ingredient.nameEn,
  ingredientNameSw: ingredient.nameSw,
})

export type HeldLots = { readonly toTest: Home['toTest']; readonly onHold: Home['onHold']; readonly toDecide: Home['onHold'] }

/** Lots on hold, oldest first: which wait for the laboratory and which for a decision. */
export const loadHeldLots = async (db: Db): Promise<HeldLots> => {
  const rows = await db.lot.findMany({ where: { status: 'on-hold' }, include: withNames, orderBy: { receivedAt: 'asc' }, take: SHOWN })
  const tested = await loadTested(db, rows)
  const missingOf = ({ id, ingredient }: LotRow): string[] =>
    analysesFor(ingredient.category).filter((analyte) => tested.get(id)?.has(analyte) !== true)
  const onHold = rows.map((row) => ({
    ...shown(row),
    waitsFor: missingOf(row).length > 0 ? ('tests' as const) : ('decision' as const),
    kg: row.onHandKg.toFixed(3),
  }))
  return {
    onHold,
    toDecide: onHold.filter(({ waitsFor }) => waitsFor === 'decision'),
    toTest: rows.flatMap((row) => {
      const missing = missingOf(row)
      return missing.length === 0 ? [] : [{ ...shown(row), missing, receivedAt: row.receivedAt.toISOString() }]
    }),
  }
}

/** Released lots with stock that pass their date first. */
export const loadEndsFirst = async (db: Db, today: string): Promise<Home['endsFirst']> => {
  const rows = await db.lot.findMany({
    where: { status: 'released', onHandKg: { gt: 0 }, expiresOn: { not: null, gte: dateOf(today) } },
    include: names,
    orderBy: [{ expiresOn: 'asc' }, { number: 'asc' }],
    take: SOONEST,
  })
  return rows.flatMap((row) => {
    if (row.expiresOn === null) return []
    const expiresOn = plainDate(row.expiresOn)
    return [{ ...shown(row), expiresOn, daysLeft: daysBetween(today, expiresOn), freeKg: row.onHandKg.minus(row.reservedKg).toFixed(3) }]
  })
}

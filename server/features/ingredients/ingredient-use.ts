import { ANALYTES, isAnalyte } from '#core/composition/analytes'
import { COVER_WINDOW_DAYS, coverDays } from '#core/stock/cover'
import { formatKg, grams, parseKg } from '#core/quantity/mass'
import type { Db } from '#platform/database/client'
import { addDays } from '#platform/mill-day'

/** As many deliveries as a picture holds on a desktop. */
const SHOWN = 36

/** What was weighed into loads of the last four weeks, by when it happened, and how long the free stock lasts at that pace. */
export const loadCover = async (db: Db, { id, freeKg, now, today }: { id: string; freeKg: string; now: Date; today: string }) => {
  const from = new Date(now.getTime() - COVER_WINDOW_DAYS * 86_400_000)
  const [row] = await db.$queryRaw<{ used: string }[]>`
    SELECT coalesce(-sum(e.kg), 0)::numeric(14,3)::text AS used
    FROM stock_entry e JOIN stock_transfer t ON t.id = e.transfer_id JOIN lot l ON l.id = e.lot_id
    WHERE l.ingredient_id = ${id} AND t.kind = 'issue' AND e.account IN ('lot-free', 'lot-reserved') AND t.happened_at > ${from}::timestamptz`
  const used = parseKg(row?.used ?? '0.000')
  const days = coverDays(parseKg(freeKg), used)
  return {
    windowDays: COVER_WINDOW_DAYS,
    usedKg: formatKg(used),
    perDayKg: formatKg(grams(Math.round(used / COVER_WINDOW_DAYS))),
    days,
    until: days === null ? null : addDays(today, days),
  }
}

/** What deliveries cost, oldest first: lots that the mill made itself were bought as their parents. */
export const loadPaid = async (db: Db, ingredientId: string) => {
  const lots = await db.lot.findMany({
    where: { ingredientId, madeBy: null },
    orderBy: [{ receivedAt: 'desc' }, { number: 'desc' }],
    take: SHOWN,
    select: { id: true, number: true, receivedAt: true, netKg: true, pricePerKg: true, supplier: { select: { name: true } } },
  })
  return lots.toReversed().map(({ id, number, receivedAt, netKg, pricePerKg, supplier }) => ({
    lotId: id,
    number,
    receivedAt: receivedAt.toISOString(),
    netKg: netKg.toFixed(3),
    pricePerKg: pricePerKg.toFixed(4),
    supplierName: supplier.name,
  }))
}

/** Lots whose results are drawn beside the book. */
const LOTS_DRAWN = 24

/** What the laboratory measured of the newest lots that have a result, oldest first. */
export const loadMeasured = async (db: Db, ingredientId: string) => {
  const results = { supersededBy: { is: null }, quickTest: null, belowDetection: false }
  const lots = await db.lot.findMany({
    where: { ingredientId, assays: { some: results } },
    orderBy: { number: 'desc' },
    take: LOTS_DRAWN,
    select: {
      id: true,
      number: true,
      onHandKg: true,
      assays: { where: results, orderBy: [{ measuredOn: 'asc' }, { id: 'asc' }], select: { analyte: true, value: true } },
    },
  })
  return lots.toReversed().flatMap(({ id, number, onHandKg, assays }) =>
    assays.flatMap(({ analyte, value }) => {
      const nutrient = isAnalyte(analyte) ? ANALYTES[analyte].nutrient : null
      if (nutrient === null) return []
      return [{ nutrient, lotId: id, number, value: analyte === 'moisture' ? 100 - value : value, inStore: onHandKg.gt(0) }]
    }),
  )
}

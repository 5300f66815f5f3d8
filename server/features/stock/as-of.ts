import { StockAsOfQuery, StockAsOfView } from '#contract/stock'
import type { Db, Tx } from '#platform/database/client'
import { numberIn, onlyIds, rowsOf } from '#platform/list-page'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

type Kg = { toFixed(places: number): string }
type Row = {
  id: string
  number: number
  name_en: string
  name_sw: string
  happened_on_hand: Kg
  happened_reserved: Kg
  entered_on_hand: Kg
  entered_reserved: Kg
  total: number
}
type Part = {
  readonly page: number
  readonly perPage: number
  readonly order: 'asc' | 'desc'
  readonly ids?: readonly string[] | undefined
  readonly number?: number | undefined
}

/**
 * What was on hand and set aside of each lot at a moment, out of the entries alone: by when things happened (as it was), and by when they
 * were entered (as the books said then). Lots that were not there yet by either are left out.
 */
export const stockAsOf = async (db: Db | Tx, at: Date, { page, perPage, order, ids, number }: Part): Promise<Row[]> => {
  const { skip, take } = rowsOf({ page, perPage })
  const sign = order === 'asc' ? 1 : -1
  return db.$queryRaw<Row[]>`
    SELECT lot.id, lot.number, i.name_en, i.name_sw,
      coalesce(sum(e.kg) FILTER (WHERE t.happened_at <= ${at}), 0) AS happened_on_hand,
      coalesce(sum(e.kg) FILTER (WHERE t.happened_at <= ${at} AND e.account = 'lot-reserved'), 0) AS happened_reserved,
      coalesce(sum(e.kg) FILTER (WHERE t.entered_at <= ${at}), 0) AS entered_on_hand,
      coalesce(sum(e.kg) FILTER (WHERE t.entered_at <= ${at} AND e.account = 'lot-reserved'), 0) AS entered_reserved,
      (count(*) OVER ())::int AS total
    FROM stock_entry e
      JOIN stock_transfer t ON t.id = e.transfer_id
      JOIN lot ON lot.id = e.lot_id
      JOIN ingredient i ON i.id = lot.ingredient_id
    WHERE e.account IN ('lot-free', 'lot-reserved') AND (t.happened_at <= ${at} OR t.entered_at <= ${at})
      AND (${ids === undefined} OR e.lot_id = ANY(${ids ?? []}::uuid[]))
      AND (${number ?? null}::int IS NULL OR lot.number = ${number ?? null}::int)
    GROUP BY lot.id, lot.number, i.name_en, i.name_sw
    ORDER BY lot.number * ${sign}::int LIMIT ${take} OFFSET ${skip}`
}

export const getStockAsOf = query({
  roles: STAFF,
  input: StockAsOfQuery,
  output: StockAsOfView,
  list: true,
  async run({ db }, { at, page, perPage, order, id, q }) {
    const part = { order, ids: onlyIds(id).id?.in, ...(q !== undefined && { number: numberIn(q) ?? -1 }) }
    const rows = await stockAsOf(db, new Date(at), { ...part, page, perPage })
    const first = rows[0] ?? (page === 1 ? undefined : (await stockAsOf(db, new Date(at), { ...part, page: 1, perPage: 1 }))[0])
    const items = rows.map((row) => ({
      id: row.id,
      number: row.number,
      ingredientNameEn: row.name_en,
      ingredientNameSw: row.name_sw,
      happened: { onHandKg: row.happened_on_hand.toFixed(3), reservedKg: row.happened_reserved.toFixed(3) },
      entered: { onHandKg: row.entered_on_hand.toFixed(3), reservedKg: row.entered_reserved.toFixed(3) },
    }))
    return { items, total: first?.total ?? 0 }
  },
})

import type { z } from 'zod'
import type { BookValue } from '#core/composition/book'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { IngredientDetailView, IngredientView, NutrientValueView } from '#contract/ingredients'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { bookValueOf } from './book.js'

type Row = Prisma.IngredientGetPayload<object>
type Kg = { toFixed(places: number): string }
type Stock = { ingredient_id: string; on_hand: Kg; free: Kg }

/** What is in store of each ingredient. Free is what may be reserved: of released lots that have not expired. */
const readStock = async (db: Db | Tx, ids: readonly string[], today: string): Promise<ReadonlyMap<string, Stock>> => {
  const rows = await db.$queryRaw<Stock[]>`
    SELECT ingredient_id, sum(on_hand_kg) AS on_hand,
      coalesce(sum(on_hand_kg - reserved_kg) FILTER (WHERE status = 'released' AND (expires_on IS NULL OR expires_on >= ${today}::date)), 0) AS free
    FROM lot WHERE ingredient_id = ANY(${[...ids]}) GROUP BY ingredient_id`
  return new Map(rows.map((row) => [row.ingredient_id, row]))
}

export const ingredientViews = async (db: Db | Tx, rows: readonly Row[], today: string): Promise<z.output<typeof IngredientView>[]> => {
  const stock = await readStock(
    db,
    rows.map(({ id }) => id),
    today,
  )
  return rows.map((row) => ({
    id: row.id,
    nameEn: row.nameEn,
    nameSw: row.nameSw,
    category: row.category,
    pictogram: row.pictogram,
    shelfLifeDays: row.shelfLifeDays,
    qualityRisk: row.qualityRisk,
    replacementPricePerKg: row.replacementPricePerKg?.toFixed(4) ?? null,
    replacementPriceOn: row.replacementPriceOn?.toISOString().slice(0, 10) ?? null,
    onHandKg: stock.get(row.id)?.on_hand.toFixed(3) ?? '0.000',
    freeKg: stock.get(row.id)?.free.toFixed(3) ?? '0.000',
  }))
}

export const withBook = {
  values: true,
  inclusionGuides: { orderBy: { birdClass: 'asc' } },
  lots: { where: { onHandKg: { gt: 0 } }, orderBy: { number: 'desc' } },
} as const satisfies Prisma.IngredientInclude
type DetailRow = Prisma.IngredientGetPayload<{ include: typeof withBook }>

const noteOf = ({ note = '', sdSource = '' }: BookValue): string =>
  [note, sdSource === '' ? '' : `spread: ${sdSource}`].filter((part) => part !== '').join('; ')

/** Every nutrient the mill computes with, in the same order for every ingredient: what nobody knows is shown as unknown. */
const valueViews = (rows: DetailRow['values']): z.output<typeof NutrientValueView>[] => {
  const book = new Map(rows.map((row) => [row.nutrient, bookValueOf(row)]))
  return NUTRIENT_IDS.map((nutrient) => {
    const known = book.get(nutrient)
    const { unit } = NUTRIENTS[nutrient]
    if (known === undefined) return { nutrient, unit, value: null, sd: null, knownBy: 'unknown', source: '', note: '' }
    return {
      nutrient,
      unit,
      value: known.value,
      sd: known.sd ?? null,
      knownBy: known.knownBy,
      source: known.source,
      note: noteOf(known),
    }
  })
}

export const detailView = (
  row: DetailRow,
  view: z.output<typeof IngredientView>,
): Omit<z.output<typeof IngredientDetailView>, 'paid' | 'measured' | 'cover'> => ({
  ...view,
  values: valueViews(row.values),
  inclusionGuides: row.inclusionGuides.map(({ birdClass, maxPct, knownBy, source, reason }) => ({
    birdClass,
    maxPct,
    knownBy: knownBy === 'book' ? 'book' : 'memory',
    source,
    reason,
  })),
  lots: row.lots.map(({ id, number, status, onHandKg, pricePerKg }) => ({
    id,
    number,
    status,
    onHandKg: onHandKg.toFixed(3),
    pricePerKg: pricePerKg.toFixed(4),
  })),
})

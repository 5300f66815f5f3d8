import type { AssayErrorRow } from '#core/composition/assay-error'
import { isAnalyte } from '#core/composition/analytes'
import type { Assay } from '#core/composition/assays'
import type { BookIngredient } from '#core/composition/book'
import {
  contentsOfEarlierLot,
  MOST_EARLIER_LOTS,
  supplierKey,
  supplierRecord,
  type Content,
  type EarlierLotKind,
  type SupplierRecord,
} from '#core/composition/supplier-record'
import { ureaIsKnownFraud } from '#core/composition/urea'
import { loadBook } from '#features/ingredients/book'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { keepReference } from '#platform/database/kept-reference'
import { plainDate } from '#platform/mill-day'
import type { LotRow } from './lot-view.js'

/** What the belief of one lot needs beside its own results. */
export type Knowledge = {
  readonly book: BookIngredient | undefined
  readonly assayErrors: readonly AssayErrorRow[]
  readonly supplierRecord: SupplierRecord | undefined
}

const oneOf = <W extends string>(allowed: readonly W[], word: string): W => {
  const known = allowed.find((candidate) => candidate === word)
  if (known === undefined) throw new Error(`the table of assay errors holds "${word}"`)
  return known
}

type ErrorRow = Prisma.AssayErrorGetPayload<object>
const errorOf = ({ analyte, method, figure, seen, id: _id, ...row }: ErrorRow): AssayErrorRow => {
  if (analyte !== 'any' && !isAnalyte(analyte)) throw new Error(`the table of assay errors names ${analyte}`)
  return {
    ...row,
    analyte,
    method: oneOf(['chemical', 'near-infrared'], method),
    figure: oneOf(['repeatability', 'reproducibility'], figure),
    read: seen === 'read',
  }
}

export const loadAssayErrors: (db: Db | Tx) => Promise<readonly AssayErrorRow[]> = keepReference(async (db) =>
  (await db.assayError.findMany({ orderBy: { id: 'asc' } })).map(errorOf),
)

/** A lot whose knowledge is asked for; it need not have come yet. */
type AskedLot = Pick<LotRow, 'id' | 'number' | 'supplierId' | 'ingredientId'>

type Pair = { readonly supplierId: string; readonly ingredientId: string; readonly from: number; readonly below: number }

/** Each supplier with each ingredient among these lots, and between which lot numbers they lie. */
const pairsOf = (rows: readonly AskedLot[]): Pair[] => {
  const pairs = new Map<string, Pair>()
  for (const { supplierId, ingredientId, number } of rows) {
    const key = supplierKey(supplierId, ingredientId)
    const known = pairs.get(key)
    pairs.set(key, {
      supplierId,
      ingredientId,
      from: Math.min(known?.from ?? number, number),
      below: Math.max(known?.below ?? number, number),
    })
  }
  return [...pairs.values()]
}

type LotOfRow = {
  readonly supplier_id: string
  readonly ingredient_id: string
  readonly number: number
  readonly intake_moisture_pct: number | null
}
type ResultOfRow = {
  readonly analyte: string
  readonly value: number
  readonly unit: string
  readonly below_detection: boolean
  readonly sd: number | null
  readonly method: string
  readonly laboratory: string
  readonly measured_on: Date
  readonly reading: string
}
/** A lot without a standing result has one row, of nothing. */
type EarlierRow = LotOfRow & (ResultOfRow | { readonly [field in keyof ResultOfRow]: null })

/**
 * Every earlier lot that counts for one of these pairs with its standing results, in one query; the newest lots first. Untested lots
 * are among them, because they too take a place among the last twenty, whichever lots are asked for together.
 */
const loadEarlier = (db: Db | Tx, pairs: readonly Pair[]): Promise<EarlierRow[]> => db.$queryRaw<EarlierRow[]>`
  SELECT p.supplier_id, p.ingredient_id, l.number, l.intake_moisture_pct,
    a.analyte, a.value, a.unit, a.below_detection, a.sd, a.method, a.laboratory, a.measured_on, a.reading
  FROM unnest(${pairs.map(({ supplierId }) => supplierId)}::uuid[], ${pairs.map(({ ingredientId }) => ingredientId)}::text[],
    ${pairs.map(({ from }) => from)}::int[], ${pairs.map(({ below }) => below)}::int[]) AS p(supplier_id, ingredient_id, lowest, below)
  CROSS JOIN LATERAL (
    (SELECT id, number, intake_moisture_pct FROM lot
      WHERE supplier_id = p.supplier_id AND ingredient_id = p.ingredient_id AND number >= p.lowest AND number < p.below)
    UNION ALL
    (SELECT id, number, intake_moisture_pct FROM lot
      WHERE supplier_id = p.supplier_id AND ingredient_id = p.ingredient_id AND number < p.lowest
      ORDER BY number DESC LIMIT ${MOST_EARLIER_LOTS})
  ) l
  LEFT JOIN assay a ON a.lot_id = l.id AND NOT EXISTS (SELECT FROM assay s WHERE s.supersedes_id = a.id)
  ORDER BY l.number DESC, a.measured_on, a.recorded_at, a.id`

type EarlierLot = { readonly number: number; readonly intakeMoisturePct: number | null; readonly assays: Assay[] }
type CountedLot = { readonly number: number; readonly contents: readonly Content[] }

const assayOf = (row: ResultOfRow): Assay => ({
  analyte: row.analyte,
  value: row.value,
  unit: row.unit,
  belowDetection: row.below_detection,
  sd: row.sd,
  method: row.method,
  laboratory: row.laboratory,
  measuredOn: plainDate(row.measured_on),
  reading: row.reading === 'found' ? 'found' : undefined,
})

const byPair = (rows: readonly EarlierRow[]): ReadonlyMap<string, readonly EarlierLot[]> => {
  const pairs = new Map<string, Map<number, EarlierLot>>()
  for (const row of rows) {
    const key = supplierKey(row.supplier_id, row.ingredient_id)
    const lots = pairs.get(key) ?? new Map<number, EarlierLot>()
    pairs.set(key, lots)
    const lot = lots.get(row.number) ?? { number: row.number, intakeMoisturePct: row.intake_moisture_pct, assays: [] }
    lots.set(row.number, lot)
    if (row.analyte !== null) lot.assays.push(assayOf(row))
  }
  return new Map([...pairs].map(([key, lots]) => [key, [...lots.values()]]))
}

export const earlierLotKind = (book: BookIngredient | undefined): EarlierLotKind => ({
  bookDryMatterPct: book?.book.find(({ nutrient }) => nutrient === 'DM')?.value,
  ureaIsFraud: book !== undefined && ureaIsKnownFraud(book.key, book.category),
})

const countedLots = (lots: readonly EarlierLot[], book: BookIngredient | undefined): CountedLot[] => {
  const kind = earlierLotKind(book)
  return lots.map((lot) => ({ number: lot.number, contents: contentsOfEarlierLot(lot, kind) }))
}

const recordOf = (key: string, lots: readonly CountedLot[], below: number): SupplierRecord | undefined => {
  const earlier = lots.filter(({ number }) => number < below).slice(0, MOST_EARLIER_LOTS)
  return earlier.length === 0
    ? undefined
    : supplierRecord(
        key,
        earlier.map(({ contents }) => contents),
      )
}

/** Books, errors of analysis and each supplier's record for all these lots, by lot id: three queries however many lots there are. */
export const loadKnowledge = async (db: Db | Tx, rows: readonly AskedLot[]): Promise<ReadonlyMap<string, Knowledge>> => {
  if (rows.length === 0) return new Map()
  const books = await loadBook(db)
  const assayErrors = await loadAssayErrors(db)
  const earlier = byPair(await loadEarlier(db, pairsOf(rows)))
  const counted = new Map([...earlier].map(([key, lots]) => [key, countedLots(lots, books.get(ingredientOfKey(key)))]))
  return new Map(
    rows.map(({ id, number, supplierId, ingredientId }) => {
      const key = supplierKey(supplierId, ingredientId)
      return [id, { book: books.get(ingredientId), assayErrors, supplierRecord: recordOf(key, counted.get(key) ?? [], number) }]
    }),
  )
}

const ingredientOfKey = (key: string): string => key.slice(key.lastIndexOf('/') + 1)

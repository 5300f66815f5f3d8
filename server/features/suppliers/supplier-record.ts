import type { z } from 'zod'
import { ById } from '#contract/lists'
import { MOST_RECORD_LOTS, SupplierRecordQuery, SupplierRecordView } from '#contract/suppliers'
import type { BookIngredient } from '#core/composition/book'
import { composeLot } from '#core/composition/compose-lot'
import type { EarlierLotKind } from '#core/composition/supplier-record'
import { fieldError, MillError } from '#core/errors'
import { individualsChart } from '#core/quality/control-chart'
import { moistureOfLot, proteinOfLot } from '#core/quality/lot-reading'
import { formatKg, parseKg } from '#core/quantity/mass'
import { shortWeights } from '#core/receiving/weights'
import { digestibleShare, pricePerKgProtein, type PaidLot } from '#core/quality/protein-price'
import { loadBook } from '#features/ingredients/book'
import { earlierLotKind, loadKnowledge } from '#features/lots/load-beliefs'
import { compositionView } from '#features/lots/lot-composition'
import { assaysOf, statusOf, withNames, type LotRow } from '#features/lots/lot-view'
import { NOT_THE_MILL } from '#features/lots/mill-supplier'
import type { Db } from '#platform/database/client'
import { query } from '#platform/query'
import { STAFF } from '#platform/staff'

type View = z.output<typeof SupplierRecordView>
type Point = View['points'][number]
type Asked = { readonly supplierId: string; readonly ingredientId: string }

/** The newest lots that are read, the oldest first, with how many there are in all and the highest number among them. */
const loadLots = async (db: Db, where: Asked) => {
  const rows = await db.lot.findMany({
    where,
    include: withNames,
    orderBy: [{ receivedAt: 'desc' }, { number: 'desc' }],
    take: MOST_RECORD_LOTS,
  })
  const all = await db.lot.aggregate({ where, _count: true, _max: { number: true } })
  return { rows: rows.toReversed(), lots: all._count, lastNumber: all._max.number ?? 0 }
}

const pointOf = (row: LotRow, kind: EarlierLotKind): Point => {
  const lot = { assays: assaysOf(row), intakeMoisturePct: row.intakeMoisturePct }
  return {
    lotId: row.id,
    number: row.number,
    receivedAt: row.receivedAt.toISOString(),
    netKg: row.netKg.toFixed(3),
    noteKg: row.noteKg?.toFixed(3) ?? null,
    pricePerKg: row.pricePerKg.toFixed(4),
    status: statusOf(row.status),
    protein: proteinOfLot(lot, kind),
    moisture: moistureOfLot(lot),
  }
}

const chartOf = (points: readonly Point[], content: 'protein' | 'moisture'): View['protein'] => {
  const counted = points.flatMap(({ number, [content]: { value } }) => (value === null ? [] : [{ number, value }]))
  const chart = individualsChart(counted.map(({ value }) => value))
  const outside = chart?.outside.flatMap((place) => counted[place]?.number ?? []) ?? []
  return { lots: counted.length, mean: chart?.mean ?? null, sd: chart?.sd ?? null, range: chart?.range ?? null, outside }
}

/** A rejected lot was not paid for, so it tells nothing of the price. */
const paidOf = (points: readonly Point[]): PaidLot[] =>
  points.flatMap(({ protein, status, netKg, pricePerKg }) =>
    protein.leftOut !== null || protein.measured === null || status === 'rejected'
      ? []
      : [{ netKg: Number(netKg), pricePerKg: Number(pricePerKg), proteinPct: protein.measured }],
  )

const priceOf = (points: readonly Point[], book: BookIngredient | undefined): View['price'] => {
  const paid = paidOf(points)
  const price = pricePerKgProtein(paid)
  if (price === undefined) return null
  const found = digestibleShare(book?.book ?? [])
  return {
    lots: paid.length,
    perKgCrudeProtein: price.toFixed(2),
    digestible:
      found === undefined || found.share <= 0
        ? null
        : {
            perKg: (price / found.share).toFixed(2),
            sharePct: 100 * found.share,
            aminoAcids: [...found.aminoAcids],
            knownBy: found.knownBy,
          },
  }
}

/** Rejected lots count too: what the note said of them was as right or wrong as of any other. */
const shortWeightsOf = (points: readonly Point[]): View['shortWeights'] => {
  const found = shortWeights(points.map(({ netKg, noteKg }) => ({ net: parseKg(netKg), noted: noteKg === null ? null : parseKg(noteKg) })))
  if (found === null) return null
  const { lots, shortLots, noted, difference } = found
  return { lots, shortLots, notedKg: formatKg(noted), differenceKg: formatKg(difference) }
}

/** Protein of a lot that has not come yet, by the same way as every lot in store: so this page cannot tell another record than mixes use. */
const loadNextLot = async (db: Db, asked: Asked, lastNumber: number): Promise<Pick<View, 'nextLot' | 'recordMean'>> => {
  const next = { ...asked, id: 'next', number: lastNumber + 1 }
  const knowledge = (await loadKnowledge(db, [next])).get(next.id)
  const { key: ingredientKey = asked.ingredientId, category = '', book = [] } = knowledge?.book ?? {}
  const { assayErrors, supplierRecord } = knowledge ?? {}
  const protein = compositionView(composeLot({ ingredientKey, category, book, assays: [], assayErrors, supplierRecord })).find(
    ({ nutrient }) => nutrient === 'CP',
  )
  if (protein === undefined) throw new Error('a composition without protein')
  return { nextLot: protein, recordMean: supplierRecord?.means.CP ?? null }
}

/** Steady or drifting? What one supplier brought of one ingredient, lot by lot, and what of it the next lot will be believed to hold. */
export const getSupplierRecord = query({
  roles: STAFF,
  params: ById,
  input: SupplierRecordQuery,
  output: SupplierRecordView,
  async run({ db }, { id: supplierId, ingredientId }) {
    if ((await db.supplier.findUnique({ where: { id: supplierId, ...NOT_THE_MILL }, select: { id: true } })) === null)
      throw new MillError('not-found')
    const ingredient = await db.ingredient.findUnique({ where: { id: ingredientId }, select: { nameEn: true, nameSw: true } })
    if (ingredient === null) throw fieldError('ingredient-unknown', 'ingredientId', 'unknown', 'there is no such ingredient')
    const asked = { supplierId, ingredientId }
    const { rows, lots, lastNumber } = await loadLots(db, asked)
    const book = (await loadBook(db)).get(ingredientId)
    const kind = earlierLotKind(book)
    const points = rows.map((row) => pointOf(row, kind))
    return {
      ...asked,
      ingredientNameEn: ingredient.nameEn,
      ingredientNameSw: ingredient.nameSw,
      bookDryMatterPct: kind.bookDryMatterPct ?? null,
      points,
      olderLots: lots - rows.length,
      protein: chartOf(points, 'protein'),
      moisture: chartOf(points, 'moisture'),
      price: priceOf(points, book),
      shortWeights: shortWeightsOf(points),
      ...(await loadNextLot(db, asked, lastNumber)),
    }
  },
})

import { createHash } from 'node:crypto'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { formatKg, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { loadBook } from '#features/ingredients/book'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { dateOf, plainDate } from '#platform/mill-day'
import { loadCompositions } from './lot-composition.js'
import { medicationOf, statusOf, withNames, type LotRow } from './lot-view.js'

/** A lot as a mix sees it. Kilograms and prices are decimal strings. */
export type MixLot = {
  readonly id: string
  readonly number: number
  readonly ingredientId: string
  readonly ingredientNameEn: string
  readonly ingredientNameSw: string
  readonly category: string
  readonly pictogram: string
  /** What was paid. */
  readonly pricePerKg: string
  /** What the next delivery would cost, where the mill knows it: the price to decide by. */
  readonly replacementPricePerKg: string | null
  /** On hand and not set aside for anybody. */
  readonly freeKg: string
  readonly status: ReturnType<typeof statusOf>
  readonly expiresOn: string | null
  readonly retestOn?: string | null
  /** Stages whose feed it may enter; none: every feed. */
  readonly releasedFor?: readonly string[]
  readonly medicationDeclared: boolean
  readonly medication: { readonly active: string; readonly strengthPct: number } | null
  readonly composition: LotComposition
  readonly contaminants: LotComposition['contaminants']
}

const withPrices = {
  ...withNames,
  ingredient: { select: { ...withNames.ingredient.select, replacementPricePerKg: true } },
} as const satisfies Prisma.LotInclude
type Row = Prisma.LotGetPayload<{ include: typeof withPrices }>

const mixLot = (row: Row, composition: LotComposition): MixLot => ({
  id: row.id,
  number: row.number,
  ingredientId: row.ingredientId,
  ingredientNameEn: row.ingredient.nameEn,
  ingredientNameSw: row.ingredient.nameSw,
  category: row.ingredient.category,
  pictogram: row.ingredient.pictogram,
  pricePerKg: row.pricePerKg.toFixed(4),
  replacementPricePerKg: row.ingredient.replacementPricePerKg?.toFixed(4) ?? null,
  freeKg: row.onHandKg.minus(row.reservedKg).toFixed(3),
  status: statusOf(row.status),
  expiresOn: row.expiresOn === null ? null : plainDate(row.expiresOn),
  retestOn: row.retestOn === null ? null : plainDate(row.retestOn),
  releasedFor: row.releasedFor,
  medicationDeclared: row.medicationDeclared,
  medication: medicationOf(row),
  composition,
  contaminants: composition.contaminants,
})

const mixLots = async (db: Db | Tx, rows: readonly Row[]): Promise<MixLot[]> => {
  const compositions = await loadCompositions(db, rows satisfies readonly LotRow[])
  return rows.flatMap((row, i) => {
    const composition = compositions[i]
    return composition ? [mixLot(row, composition)] : []
  })
}

type Which = {
  /** `in-store`: also lots on hold, to see what a release would bring. Rejected lots never. */
  readonly which: 'released' | 'in-store'
  /** The mill's date; a lot may be used on the day it expires. */
  readonly today: string
  readonly freed?: FreedStock | undefined
}

/** What is set aside now and would be free again by then, lot by lot. */
export type FreedStock = ReadonlyMap<string, Grams>
const withFreed = (lot: MixLot, freed: FreedStock): MixLot => {
  const mass = freed.get(lot.id)
  return mass === undefined ? lot : { ...lot, freeKg: formatKg(sumGrams([parseKg(lot.freeKg), mass])) }
}

/** Unexpired lots with free stock, oldest number first. */
export const loadMixLots = async (db: Db | Tx, { which, today, freed = new Map() }: Which): Promise<MixLot[]> => {
  const rows = await db.lot.findMany({
    where: {
      status: { in: which === 'released' ? ['released'] : ['released', 'on-hold'] },
      AND: [
        { OR: [{ onHandKg: { gt: db.lot.fields.reservedKg } }, { id: { in: [...freed.keys()] } }] },
        { OR: [{ expiresOn: null }, { expiresOn: { gte: dateOf(today) } }] },
        // One on hold is asked about to see what its release would bring, and with that comes a new date.
        { OR: [{ retestOn: null }, { retestOn: { gte: dateOf(today) } }, { status: 'on-hold' }] },
      ],
    },
    include: withPrices,
    orderBy: { number: 'asc' },
  })
  return (await mixLots(db, rows)).map((lot) => withFreed(lot, freed))
}

/** These lots in whatever state, e.g. those of a batch. */
export const loadMixLotsById = async (db: Db | Tx, lotIds: readonly string[]): Promise<MixLot[]> =>
  mixLots(db, await db.lot.findMany({ where: { id: { in: [...lotIds] } }, include: withPrices, orderBy: { number: 'asc' } }))

/** A stable id in the form of a UUID (version 8, RFC 9562) for a lot that stands only for its ingredient. */
const bookId = (ingredientId: string): string => {
  const hex = createHash('sha256').update(`book lot of ${ingredientId}`).digest('hex')
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-8${hex.slice(13, 16)}-a${hex.slice(17, 20)}-${hex.slice(20, 32)}`
}

/** As much as the mill can write down, ten thousand tonnes: a book lot is not limited by a store. */
const UNLIMITED_KG = '10000000.000'

/** One lot of every ingredient that has a replacement price, with book values alone, for drafting without looking at the store. Number 0. */
export const bookLots = async (db: Db | Tx): Promise<MixLot[]> => {
  const rows = await db.ingredient.findMany({ where: { replacementPricePerKg: { not: null } }, orderBy: { id: 'asc' } })
  const book = await loadBook(db)
  return rows.map((row) => {
    const composition = composeLot({ ingredientKey: row.id, category: row.category, book: book.get(row.id)?.book ?? [], assays: [] })
    const pricePerKg = row.replacementPricePerKg?.toFixed(4) ?? '0.0000'
    return {
      id: bookId(row.id),
      number: 0,
      ingredientId: row.id,
      ingredientNameEn: row.nameEn,
      ingredientNameSw: row.nameSw,
      category: row.category,
      pictogram: row.pictogram,
      pricePerKg,
      replacementPricePerKg: pricePerKg,
      freeKg: UNLIMITED_KG,
      status: 'released',
      expiresOn: null,
      // A book lot stands for a product without medicine.
      medicationDeclared: true,
      medication: null,
      composition,
      contaminants: composition.contaminants,
    }
  })
}

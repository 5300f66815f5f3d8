import { createHash } from 'node:crypto'
import type { Assay } from '#core/composition/assays'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { formatKg, parseKg, sumGrams, type Grams } from '#core/quantity/mass'
import { loadBook } from '#features/ingredients/book'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { dateOf, plainDate } from '#platform/mill-day'
import type { Knowledge } from './load-beliefs.js'
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

/** As much as the mill can write down, ten thousand tonnes: where no store and nobody says how much there is. */
export const UNLIMITED_KG = '10000000.000'
/** Of a lot still to come: every lot of its supplier so far counts for what is believed of it. */
export const NEXT_NUMBER = 2_147_483_647

type Ingredient = Pick<Prisma.IngredientGetPayload<object>, 'id' | 'nameEn' | 'nameSw' | 'category' | 'pictogram'>
type Beside = Pick<MixLot, 'id' | 'pricePerKg' | 'freeKg' | 'status'> & {
  readonly ingredient: Ingredient
  readonly known: Partial<Knowledge>
  readonly assays?: readonly Assay[]
  readonly intakeMoisturePct?: number | null
  readonly replacementPricePerKg?: string
}

/**
 * A lot that is not in the store, believed as one that is: of the book alone, offered, or at the gate. Number 0. It stands for a product
 * without medicine, until somebody has read a label.
 */
export const lotBesideStore = ({ ingredient, known, assays = [], intakeMoisturePct = null, ...lot }: Beside): MixLot => {
  const { id: ingredientId, nameEn, nameSw, category, pictogram } = ingredient
  const { book, assayErrors, supplierRecord } = known
  const composition = composeLot({
    ingredientKey: ingredientId,
    category,
    book: book?.book ?? [],
    assays,
    intakeMoisturePct,
    assayErrors,
    supplierRecord,
  })
  return {
    replacementPricePerKg: null,
    ...lot,
    number: 0,
    ingredientId,
    ingredientNameEn: nameEn,
    ingredientNameSw: nameSw,
    category,
    pictogram,
    expiresOn: null,
    medicationDeclared: true,
    medication: null,
    composition,
    contaminants: composition.contaminants,
  }
}

/** One lot of every ingredient that has a replacement price, with book values alone, for drafting without looking at the store. */
export const bookLots = async (db: Db | Tx): Promise<MixLot[]> => {
  const rows = await db.ingredient.findMany({ where: { replacementPricePerKg: { not: null } }, orderBy: { id: 'asc' } })
  const book = await loadBook(db)
  return rows.map((row) => {
    const pricePerKg = row.replacementPricePerKg?.toFixed(4) ?? '0.0000'
    return lotBesideStore({
      id: bookId(row.id),
      ingredient: row,
      known: { book: book.get(row.id) },
      pricePerKg,
      replacementPricePerKg: pricePerKg,
      freeKg: UNLIMITED_KG,
      status: 'released',
    })
  })
}

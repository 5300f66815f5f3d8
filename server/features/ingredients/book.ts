import { worstCases, type BookIngredient, type BookValue, type WorstCases } from '#core/composition/book'
import type { SpreadKind } from '#core/composition/deviation'
import { NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { keepReference } from '#platform/database/kept-reference'

const asNutrient = (word: string): NutrientId => {
  const known = NUTRIENT_IDS.find((id) => id === word)
  if (known === undefined) throw new Error(`the book names the nutrient ${word}, which the mill does not know`)
  return known
}

const asKnownBy = (word: string): BookValue['knownBy'] => {
  if (word === 'book' || word === 'memory' || word === 'structural-zero') return word
  throw new Error(`a book value cannot be known by ${word}`)
}

const asSpreadKind = (word: string): SpreadKind => {
  if (word === 'lots' || word === 'regions' || word === 'memory' || word === 'pooled') return word
  throw new Error(`a spread cannot be known by ${word}`)
}

type ValueRow = Prisma.IngredientValueGetPayload<object>

/** A row of the book as core wants it. */
export const bookValueOf = ({ nutrient, value, knownBy, source, note, sd, sdKind, sdSource }: ValueRow): BookValue => ({
  nutrient: asNutrient(nutrient),
  value,
  knownBy: asKnownBy(knownBy),
  source,
  ...(note === '' ? {} : { note }),
  ...(sd === null ? {} : { sd, sdSource }),
  ...(sdKind === null ? {} : { sdKind: asSpreadKind(sdKind) }),
})

/** The book of all ingredients, by ingredient id. */
export const loadBook: (db: Db | Tx) => Promise<ReadonlyMap<string, BookIngredient>> = keepReference(async (db) => {
  const rows = await db.ingredient.findMany({ include: { values: true }, orderBy: { id: 'asc' } })
  return new Map(rows.map(({ id, category, values }) => [id, { key: id, category, book: values.map(bookValueOf) }]))
})

type WorstRow = {
  readonly key: string
  readonly category: string
  readonly nutrient: string
  readonly value: number
  readonly source: string
}

/**
 * What an unknown content is at worst, by category: out of the whole book. The database picks the largest of each, because every solve
 * and every check asks, and the whole book is thousands of rows.
 */
export const loadWorstCases: (db: Db | Tx) => Promise<WorstCases> = keepReference(async (db) => {
  const rows = await db.$queryRaw<WorstRow[]>`
    SELECT DISTINCT ON (i.category, v.nutrient) i.id AS key, i.category, v.nutrient, v.value, v.source
    FROM ingredient_value v JOIN ingredient i ON i.id = v.ingredient_id
    ORDER BY i.category, v.nutrient, v.value DESC, i.id`
  return worstCases(
    rows.map(({ key, category, nutrient, value, source }) => ({
      key,
      category,
      book: [{ nutrient: asNutrient(nutrient), value, knownBy: 'book', source }],
    })),
  )
})

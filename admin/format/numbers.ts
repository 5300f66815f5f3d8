import { NUTRIENTS, type NutrientId } from '#core/composition/nutrients'

/** Joins a figure and its unit so that no line breaks between them. */
export const JOIN = '\u00a0'
const MINUS = '\u2212'

const group = (digits: string): string => digits.replace(/\B(?=(\d{3})+(?!\d))/g, ',')

const plain = (value: string | number): string => (typeof value === 'number' ? value.toFixed(12) : value)

/** Rounds decimal text half away from zero without floating point: ("2.675", 2) gives "2.68". */
const roundText = (text: string, places: number): { negative: boolean; whole: string; rest: string } => {
  const [, sign = '', whole = '0', rest = ''] = /^(-?)(\d*)\.?(\d*)$/.exec(text.trim()) ?? []
  const kept = BigInt(`${whole || '0'}${rest.slice(0, places).padEnd(places, '0')}`)
  const digits = String(kept + (Number(rest[places] ?? '0') >= 5 ? 1n : 0n)).padStart(places + 1, '0')
  const cut = digits.length - places
  return { negative: sign === '-' && /[1-9]/.test(digits), whole: digits.slice(0, cut), rest: digits.slice(cut) }
}

/** "12,345.6" in both languages; `places` digits after the point; a true minus sign. */
export const formatNumber = (value: string | number, places: number): string => {
  const { negative, whole, rest } = roundText(plain(value), places)
  return `${negative ? MINUS : ''}${group(whole)}${places > 0 ? `.${rest}` : ''}`
}

// Two digits tell a trace from another; beyond six decimals nothing is measured.
const MOST_PLACES = 6

/**
 * Decimals that show a figure: the usual ones, and for a trace that they would round to less than their last digit as many as its
 * first two digits need. Only nothing at all reads as nought.
 */
export const placesFor = (value: string | number, usual: number): number => {
  const size = Math.abs(Number(value))
  if (!(size > 0) || size >= 10 ** -usual) return usual
  const places = Math.min(MOST_PLACES, 1 - Math.floor(Math.log10(size)))
  const digits = size.toFixed(places)
  return Math.max(usual, places - (/0*$/.exec(digits)?.[0].length ?? 0))
}

/** As `formatNumber`, with more decimals where a trace would else read as nought. */
export const formatFigure = (value: string | number, usual: number): string => formatNumber(value, placesFor(value, usual))

export const withUnit = (figure: string, unit: string): string => `${figure}${JOIN}${unit}`

/** Stock and receiving: one decimal; the exact three stand behind "Exact". */
export const formatKg = (kg: string | number, places = 1): string => withUnit(formatFigure(kg, places), 'kg')
export const formatExactKg = (kg: string | number): string => formatKg(kg, 3)
export const formatPercent = (pct: string | number, places = 1): string => withUnit(formatFigure(pct, places), '%')

const ONE_DECIMAL: ReadonlySet<NutrientId> = new Set(['DM', 'CP', 'EE', 'CF', 'ash', 'starch', 'sugars', 'TDF'])

/** Decimals shown for a nutrient: 0.1 %, but 0.01 % for minerals and amino acids; whole mg/kg and mEq/kg. */
export const nutrientPlaces = (nutrient: NutrientId): number => {
  if (NUTRIENTS[nutrient].unit !== '%') return 0
  return ONE_DECIMAL.has(nutrient) ? 1 : 2
}

/** A nutrient value as it is shown, without its unit; energy to the nearest 10 kcal/kg. */
export const formatNutrient = (nutrient: NutrientId, value: string | number): string => {
  const tens = NUTRIENTS[nutrient].unit === 'kcal/kg' ? Math.round(Number(value) / 10) * 10 : 0
  return formatFigure(tens === 0 ? value : tens, nutrientPlaces(nutrient))
}

/** Poisons: whole micrograms, written "ug/kg" because the text font has no micro sign. */
export const formatPoison = (ugPerKg: string | number): string => withUnit(formatFigure(ugPerKg, 0), 'ug/kg')

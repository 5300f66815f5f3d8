import type { NutrientId } from './nutrients.js'

type Regression = {
  readonly ingredients: readonly string[]
  /** Per cent of the product = intercept + slope x per cent of crude protein. */
  readonly total: NutrientId
  readonly digestible: NutrientId
  readonly intercept: number
  readonly slope: number
  /** Standard error about the line, in points of the total. */
  readonly standardError: number
  /** Protein to which it is applied (working judgement: the page gives no range). */
  readonly from: number
  readonly to: number
  readonly source: string
}

/**
 * Read: journal `ait` 8(1):35, Table 4, 95 samples of maize. The soya line of the same table has a misprint (0.60 a point of protein gives
 * 28 % lysine) and the two-slope line of Agriculture 2021, 11:280 credits thinned meal with lysine and gives no scatter: neither is used.
 */
const REGRESSIONS: readonly Regression[] = [
  {
    ingredients: ['maize_yellow', 'maize_white'],
    total: 'Lys',
    digestible: 'SID_Lys',
    intercept: 0.049,
    slope: 0.026,
    standardError: 0.018,
    from: 6,
    to: 11,
    source: 'AIT-8-1-35-T4',
  },
]

type Applied = {
  readonly factor: number
  readonly source: string
  readonly spread: { readonly elasticity: number; readonly residualCv?: number }
}

/** How an amino acid moves from one protein to another by a published line; undefined where none is published or it does not reach. */
export const regressionOf = (ingredientKey: string, nutrient: NutrientId, beforePct: number, afterPct: number): Applied | undefined => {
  const line = REGRESSIONS.find(
    ({ ingredients, total, digestible }) => ingredients.includes(ingredientKey) && (total === nutrient || digestible === nutrient),
  )
  if (!line || Math.min(beforePct, afterPct) < line.from || Math.max(beforePct, afterPct) > line.to) return undefined
  const at = (proteinPct: number): number => line.intercept + line.slope * proteinPct
  const elasticity = (line.slope * afterPct) / at(afterPct)
  // Of the digestible content the line says nothing: its scatter is what is left of its own.
  const residual = nutrient === line.total ? { residualCv: line.standardError / at(afterPct) } : {}
  return { factor: at(afterPct) / at(beforePct), source: line.source, spread: { elasticity, ...residual } }
}

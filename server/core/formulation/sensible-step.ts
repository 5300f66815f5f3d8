import { NUTRIENTS, type NutrientId } from '../composition/nutrients.js'

const FINE: ReadonlySet<NutrientId> = new Set<NutrientId>(['totP', 'avP', 'phytP', 'Na', 'K', 'Cl', 'Mg'])
const COARSE: ReadonlySet<NutrientId> = new Set<NutrientId>(['DM', 'CP', 'EE', 'CF', 'ash', 'starch', 'sugars', 'TDF'])

/**
 * The step in which people change a limit, in the nutrient's unit: 0.1 % of protein, 10 kcal of energy, 0.01 % of an amino acid.
 * Common practice, no source; about a tenth of what assays can tell apart.
 */
export function sensibleStep(nutrient: NutrientId): number {
  switch (NUTRIENTS[nutrient].unit) {
    case 'kcal/kg':
    case 'mg/kg':
      return 10
    case 'mEq/kg':
      return 5
    case '%':
      if (nutrient === 'Ca') return 0.05
      return COARSE.has(nutrient) ? 0.1 : FINE.has(nutrient) ? 0.01 : 0.01
  }
}

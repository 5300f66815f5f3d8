import type { NutrientId } from '#core/composition/nutrients'
import type { FormulaLimits } from '#core/formulation/limits'
import type { MixLot } from '#core/formulation/mix-lot'
import type { AddingRole } from '#core/milling/round-load'
import { readCase, type ReferenceCase } from './reference-cases.js'

/** The reference case `broiler-grower-14` as a mill holds it: lots with stock, limits on concentration, shares in per cent. */
const grower = readCase<ReferenceCase>('broiler-grower-14').problem
const NAMES: Readonly<Record<string, NutrientId>> = {
  me: 'AME',
  cp: 'CP',
  fibre: 'CF',
  ca: 'Ca',
  avp: 'avP',
  na: 'Na',
  lys: 'Lys',
  met: 'Met',
}
const named = (id: string): NutrientId => NAMES[id] ?? 'DM'

export const growerLots: readonly MixLot[] = grower.ingredients.map((ingredient) => ({
  id: `lot-${ingredient.id}`,
  ingredientId: ingredient.id,
  pricePerKg: ingredient.cost,
  freeKg: 5000,
  contents: Object.fromEntries(Object.entries(ingredient.nutrients ?? {}).map(([id, value]) => [named(id), value])),
}))

export const growerLimits: FormulaLimits = {
  nutrients: (grower.nutrients ?? []).map(({ id, min, max }) => ({ nutrient: named(id), min, max })),
  ratios: [],
  // the case's limits are kilograms in 1,000
  ingredients: grower.ingredients.flatMap(({ id, min, max }) =>
    min === undefined && max === undefined
      ? []
      : [{ ingredientId: id, minPct: min === undefined ? undefined : min / 10, maxPct: max === undefined ? undefined : max / 10 }],
  ),
  groups: [],
}

const ROLES: Readonly<Record<string, AddingRole>> = {
  maize: 'grain',
  wheat: 'grain',
  barley: 'grain',
  wheatBran: 'other',
  soybeanMeal: 'protein',
  sunflowerMeal: 'protein',
  fishMeal: 'protein',
  soyaOil: 'liquid',
  limestone: 'mineral',
  dicalciumPhosphate: 'mineral',
  salt: 'mineral',
  lysineHCl: 'micro',
  methionine: 'micro',
  premix: 'micro',
}
export const roleOf = (lot: MixLot): AddingRole => ROLES[lot.ingredientId] ?? 'other'

/** Bought products that may hold medicine and must say so. */
export const mustDeclareMedication = ({ category }: { readonly category: string }): boolean =>
  category === 'premix' || category === 'concentrate'

/** Feed materials that are bought for their protein or bring much of it: both figures decide how much of a lot a mix needs. */
export const PROTEIN_BEARING_CATEGORIES: readonly string[] = [
  'cereal',
  'cereal_byproduct',
  'root',
  'oilseed',
  'oilseed_meal',
  'pulse',
  'animal_protein',
  'leaf_meal',
  'single_cell_protein',
]
const ANALYSES = ['CP', 'moisture'] as const

/** What the laboratory must have measured before a lot of this category is released. The meter at the gate is no laboratory result. */
export const analysesFor = (category: string): readonly (typeof ANALYSES)[number][] =>
  PROTEIN_BEARING_CATEGORIES.includes(category) ? ANALYSES : []

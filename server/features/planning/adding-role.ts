import type { AddingRole } from '#core/milling/round-load'

/** When an ingredient goes into the mixer, by its category in the ingredient table (after MIX-21 of the mill practice table). */
const ROLES: { readonly [category: string]: AddingRole } = {
  cereal: 'grain',
  cereal_byproduct: 'other',
  root: 'other',
  oilseed: 'protein',
  oilseed_meal: 'protein',
  animal_protein: 'protein',
  pulse: 'protein',
  leaf_meal: 'protein',
  single_cell_protein: 'protein',
  mineral: 'mineral',
  amino_acid: 'micro',
  premix: 'micro',
  vitamin: 'micro',
  fat: 'liquid',
  sugar_byproduct: 'liquid',
}

export const addingRole = (category: string): AddingRole => ROLES[category] ?? 'other'

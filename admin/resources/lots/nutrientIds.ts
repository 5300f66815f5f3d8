import { NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'

export const isKnownNutrient = (id: string): id is NutrientId => NUTRIENT_IDS.some((known) => known === id)

/** What is looked at first in a lot or an ingredient; the rest follows on demand. */
export const FIRST_NUTRIENTS: readonly NutrientId[] = [
  'DM',
  'CP',
  'AME',
  'EE',
  'CF',
  'ash',
  'Ca',
  'totP',
  'avP',
  'Na',
  'Cl',
  'Lys',
  'Met',
  'Thr',
  'Trp',
]

import type { DeviationRow } from '#core/composition/deviation'
import type { NutrientId } from '#core/composition/nutrients'
import { numberOf, oneOf, readTable, textOf, type Cells } from './reference-csv.js'

/** Words of `nutrient_sd.csv` and what they mean; energy in MJ and insoluble ash have one row each and are left out. */
const NUTRIENT_OF: Readonly<Record<string, NutrientId | 'moisture'>> = {
  dry_matter: 'DM',
  moisture: 'moisture',
  crude_protein: 'CP',
  ether_extract: 'EE',
  crude_fibre: 'CF',
  ash: 'ash',
  starch: 'starch',
  total_dietary_fibre: 'TDF',
  ame_mj_per_kg: 'AME',
  calcium: 'Ca',
  total_phosphorus: 'totP',
  phytate_phosphorus: 'phytP',
  sodium: 'Na',
  potassium: 'K',
  linoleic_acid: 'LA',
  lysine: 'Lys',
  methionine: 'Met',
  cystine: 'Cys',
  met_cys: 'MetCys',
  threonine: 'Thr',
  tryptophan: 'Trp',
  arginine: 'Arg',
  isoleucine: 'Ile',
  leucine: 'Leu',
  valine: 'Val',
}

const isRegional = (row: Cells): boolean => textOf(row, 'note').includes('regions of')
const sourceOf = (row: Cells): string => [textOf(row, 'source'), textOf(row, 'note')].filter((part) => part !== '').join(': ')

const rowOf = (row: Cells, categories: ReadonlyMap<string, string>): DeviationRow[] => {
  const ingredientKey = textOf(row, 'key')
  const [nutrient, cvPct, category] = [NUTRIENT_OF[textOf(row, 'nutrient')], numberOf(row, 'cv_pct'), categories.get(ingredientKey)]
  if (nutrient === undefined || cvPct === undefined) return []
  if (category === undefined) throw new Error(`nutrient_sd.csv names ${ingredientKey}, which is no ingredient`)
  const seen = oneOf(row, 'kind', ['read', 'calc', 'memory'])
  const about = isRegional(row) ? 'regions' : 'lots'
  return [{ ingredientKey, category, nutrient, cvPct, n: Number(textOf(row, 'n')), about, seen, source: sourceOf(row) }]
}

/** The published between-lot deviations, with the category of each ingredient. */
export const readDeviations = (categories: ReadonlyMap<string, string>): DeviationRow[] =>
  readTable('nutrient_sd.csv', ['key', 'nutrient', 'cv_pct', 'n', 'kind', 'source', 'note']).flatMap((row) => rowOf(row, categories))

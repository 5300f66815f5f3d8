import type { NutrientId } from '#core/composition/nutrients'
import { numberOf, oneOf, readTable, textOf, type Cells } from './reference-csv.js'

export type Deviation = { readonly cvPct: number; readonly source: string }

/** Words of `nutrient_sd.csv` and the nutrient they mean; total dietary fibre and the like have no lot-to-lot row worth using. */
const NUTRIENT_OF: Readonly<Record<string, NutrientId>> = {
  crude_protein: 'CP',
  ether_extract: 'EE',
  crude_fibre: 'CF',
  ash: 'ash',
  starch: 'starch',
  calcium: 'Ca',
  total_phosphorus: 'totP',
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
const KIND_RANK: Readonly<Record<string, number>> = { read: 0, calc: 1, memory: 2 }

/** Feeds before regions (a region is a pooled sample, so its spread is too narrow), read before remembered, then the larger n. */
const better = (a: Cells, b: Cells): boolean => {
  if (isRegional(a) !== isRegional(b)) return isRegional(b)
  const rank = (row: Cells): number => KIND_RANK[oneOf(row, 'kind', ['read', 'calc', 'memory'])] ?? 2
  if (rank(a) !== rank(b)) return rank(a) < rank(b)
  return Number(textOf(a, 'n')) > Number(textOf(b, 'n'))
}

/** The relative spread between lots, by "ingredient nutrient", from the best row there is; no row, no deviation. */
export const bookDeviations = (): ReadonlyMap<string, Deviation> => {
  const best = new Map<string, Cells>()
  for (const row of readTable('nutrient_sd.csv', ['key', 'nutrient', 'basis', 'sd', 'cv_pct', 'n', 'kind', 'source', 'note'])) {
    const nutrient = NUTRIENT_OF[textOf(row, 'nutrient')]
    if (nutrient === undefined || numberOf(row, 'cv_pct') === undefined) continue
    const key = `${textOf(row, 'key')} ${nutrient}`
    const known = best.get(key)
    if (!known || better(row, known)) best.set(key, row)
  }
  return new Map([...best].map(([key, row]) => [key, { cvPct: Number(textOf(row, 'cv_pct')), source: sourceOf(row) }]))
}

const sourceOf = (row: Cells): string => [textOf(row, 'source'), textOf(row, 'note')].filter((part) => part !== '').join(': ')

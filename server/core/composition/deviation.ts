import { NUTRIENTS, type NutrientId } from './nutrients.js'

/** One row of the published between-lot deviations, as per cent of its own mean (bases differ, so only the ratio is used). */
export type DeviationRow = {
  readonly ingredientKey: string
  readonly category: string
  /** `moisture` is told apart from DM: 10 % of the moisture is not 10 % of the dry matter. */
  readonly nutrient: NutrientId | 'moisture'
  readonly cvPct: number
  readonly n: number
  /** `regions`: between the means of regions, which is narrower than between lots. */
  readonly about: 'lots' | 'regions'
  readonly seen: 'read' | 'calc' | 'memory'
  readonly source: string
}

export type SpreadKind = 'lots' | 'regions' | 'memory' | 'pooled'
export type BookSpread = { readonly sd: number; readonly kind: SpreadKind; readonly source: string }

const SEEN_RANK = { read: 0, calc: 1, memory: 2 } as const

/** Lots before regions (a region is a pooled sample, so its spread is too narrow), read before remembered, then the larger n. */
const better = (a: DeviationRow, b: DeviationRow): boolean => {
  if (a.about !== b.about) return a.about === 'lots'
  if (SEEN_RANK[a.seen] !== SEEN_RANK[b.seen]) return SEEN_RANK[a.seen] < SEEN_RANK[b.seen]
  return a.n > b.n
}
const bestOf = (rows: readonly DeviationRow[]): DeviationRow | undefined =>
  rows.reduce<DeviationRow | undefined>((best, row) => (best === undefined || better(row, best) ? row : best), undefined)

const rms = (numbers: readonly number[]): number =>
  Math.sqrt(numbers.reduce((total, number) => total + number * number, 0) / numbers.length)

const GROUPS: readonly (readonly (NutrientId | 'moisture')[])[] = [
  ['Lys', 'Met', 'MetCys', 'Cys', 'Thr', 'Trp', 'Arg', 'Ile', 'Leu', 'Val', 'His', 'Phe', 'Tyr', 'Gly', 'Ser'],
  ['Ca', 'totP', 'avP', 'phytP', 'Na', 'K', 'Cl', 'Mg'],
]
/** Nutrients that vary alike: where one has no row, the others of its group speak for it. */
const groupOf = (nutrient: NutrientId | 'moisture'): readonly (NutrientId | 'moisture')[] =>
  GROUPS.find((group) => group.includes(nutrient)) ?? [nutrient]

/** Made to a declared strength: what the cereals and cakes vary says nothing of them, what limestone and phosphates vary does. */
const MADE_TO_STRENGTH: readonly string[] = ['amino_acid', 'fat', 'mineral', 'premix', 'vitamin']

export type PooledCv = { readonly cvPct: number; readonly rows: number; readonly of: string }

/**
 * The pooled coefficient of variation (root of the mean square) for an ingredient without a row of its own: over its category and this
 * nutrient, else the group of nutrients, else the whole category, else this nutrient or its group in all categories, else all rows.
 * Rows about lots alone where there are any.
 */
export const pooledCv = (rows: readonly DeviationRow[], category: string, nutrient: NutrientId | 'moisture'): PooledCv | undefined => {
  const made = MADE_TO_STRENGTH.includes(category)
  const group = groupOf(nutrient)
  const inCategory = rows.filter((row) => (made ? MADE_TO_STRENGTH.includes(row.category) : row.category === category))
  const name = made ? 'products made to a strength' : category
  const pools: readonly [string, readonly DeviationRow[]][] = [
    [name, inCategory.filter((row) => row.nutrient === nutrient)],
    [name, inCategory.filter((row) => group.includes(row.nutrient))],
    ...(made ? [[name, inCategory] as [string, DeviationRow[]]] : []),
    ['all categories', rows.filter((row) => row.nutrient === nutrient)],
    ['all categories', rows.filter((row) => group.includes(row.nutrient))],
    [name, inCategory],
    ['all categories', rows],
  ]
  for (const [of, pool] of pools) {
    const aboutLots = pool.filter((row) => row.about === 'lots')
    const counted = aboutLots.length > 0 ? aboutLots : pool
    if (counted.length > 0) return { cvPct: rms(counted.map(({ cvPct }) => cvPct)), rows: counted.length, of }
  }
  return undefined
}

/** A printed zero may be up to half of the last digit that tables print (0.1 %, 1 mg/kg): the least spread of anything that can vary. */
const leastSd = (nutrient: NutrientId): number => (NUTRIENTS[nutrient].unit === '%' ? 0.05 : 0.5)

/** The part of a product that varies: of oil with 99 % fat it is the one per cent that is not fat. (Nitrogen x 6.25 may exceed 100 %.) */
const varyingPart = (nutrient: NutrientId, value: number): number =>
  NUTRIENTS[nutrient].unit === '%' && value > 50 && value <= 100 ? 100 - value : value

/** Rows about regions are too narrow: where lots of other ingredients of the category vary more, those are used. */
const widerThanRegions = (rows: readonly DeviationRow[], own: DeviationRow): PooledCv | undefined => {
  const lots = rows.filter(({ about, category, nutrient }) => about === 'lots' && category === own.category && nutrient === own.nutrient)
  const cvPct = lots.length > 0 ? rms(lots.map((row) => row.cvPct)) : 0
  return own.about === 'regions' && cvPct > own.cvPct ? { cvPct, rows: lots.length, of: own.category } : undefined
}

type Asked = { readonly ingredientKey: string; readonly category: string; readonly nutrient: NutrientId; readonly value: number }

/** Dry matter varies by as much as the moisture does; a row about dry matter itself is used as it is. */
const ofDryMatter = (rows: readonly DeviationRow[], { ingredientKey, category, value }: Asked): BookSpread | undefined => {
  const own = bestOf(rows.filter((row) => row.ingredientKey === ingredientKey && (row.nutrient === 'DM' || row.nutrient === 'moisture')))
  const moisture = Math.max(0, 100 - value)
  const wider = own && widerThanRegions(rows, own)
  if (own && !wider) return spreadOf(own, (own.cvPct / 100) * (own.nutrient === 'DM' ? value : moisture))
  const pooled = wider ?? pooledCv(rows, category, 'moisture')
  return pooled && pooledSpread(pooled, Math.max((pooled.cvPct / 100) * moisture, leastSd('DM')))
}
const spreadOf = (row: DeviationRow, sd: number): BookSpread => ({
  sd,
  kind: row.seen === 'memory' ? 'memory' : row.about,
  source: row.source,
})
const pooledSpread = ({ cvPct, rows, of }: PooledCv, sd: number): BookSpread => ({
  sd,
  kind: 'pooled',
  source: `${cvPct.toFixed(1)} % of the value, pooled from ${rows} ${rows === 1 ? 'row' : 'rows'} of ${of}`,
})

/**
 * The between-lot standard deviation of a book value in its own unit: from the best row about this ingredient and nutrient, else the
 * pooled coefficient of its category, marked `pooled` and never zero. Undefined only when the table is empty.
 */
export const bookSpread = (rows: readonly DeviationRow[], asked: Asked): BookSpread | undefined => {
  const { ingredientKey, category, nutrient, value } = asked
  if (nutrient === 'DM') return ofDryMatter(rows, asked)
  const own = bestOf(rows.filter((row) => row.ingredientKey === ingredientKey && row.nutrient === nutrient))
  const wider = own && widerThanRegions(rows, own)
  if (own && !wider && own.cvPct > 0 && value > 0) return spreadOf(own, (own.cvPct / 100) * value)
  const pooled = wider ?? pooledCv(rows, category, nutrient)
  if (!pooled) return undefined
  const sd = (pooled.cvPct / 100) * varyingPart(nutrient, value)
  return pooledSpread(pooled, sd > 0 ? sd : leastSd(nutrient))
}

/**
 * Standard deviation of a digestibility between lots and trials, as per cent of it: about 4 (from memory: 3 to 5 points of 85; no source
 * was read). A digestible content varies by this and by its total.
 */
export const DIGESTIBILITY_CV_PCT = 4
export const digestibleSd = (value: number, totalCv: number): number => value * Math.hypot(totalCv, DIGESTIBILITY_CV_PCT / 100)

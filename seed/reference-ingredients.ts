import type { BookIngredient, BookValue } from '#core/composition/book'
import { bookSpread, digestibleSd, type DeviationRow } from '#core/composition/deviation'
import { NUTRIENTS, NUTRIENT_IDS, type NutrientId } from '#core/composition/nutrients'
import { numberOf, oneOf, readTable, textOf, type Cells } from './reference-csv.js'
import { readDeviations } from './reference-deviations.js'

export type ReferenceFigure = { readonly value: number; readonly knownBy: 'book' | 'memory' | 'structural-zero'; readonly source: string }
export const BIRD_GROUPS = ['chick', 'grower', 'layer', 'broiler'] as const
export type BirdGroup = (typeof BIRD_GROUPS)[number]

export type ReferenceIngredient = BookIngredient & {
  readonly name: string
  readonly bulkDensityKgPerM3?: ReferenceFigure
  /** Largest share of the feed in per cent; guidelines, not law. */
  readonly maxInclusionPct: Readonly<Record<BirdGroup, ReferenceFigure>>
  readonly maxInclusionReason: string
  readonly mainQualityRisk: string
  readonly notes: string
}

/** SID_x = amino acid x coefficient / 100 (reference, standards.README.md "Keys"). */
export const SID_COEFFICIENTS = {
  SID_Lys: { total: 'Lys', column: 'sid_lysine_coef_pct' },
  SID_Met: { total: 'Met', column: 'sid_methionine_coef_pct' },
  SID_Cys: { total: 'Cys', column: 'sid_cystine_coef_pct' },
  SID_Thr: { total: 'Thr', column: 'sid_threonine_coef_pct' },
  SID_Trp: { total: 'Trp', column: 'sid_tryptophan_coef_pct' },
  SID_Arg: { total: 'Arg', column: 'sid_arginine_coef_pct' },
  SID_Ile: { total: 'Ile', column: 'sid_isoleucine_coef_pct' },
  SID_Val: { total: 'Val', column: 'sid_valine_coef_pct' },
} as const satisfies Partial<Record<NutrientId, { total: NutrientId; column: string }>>

type Provenance = ReadonlyMap<string, ReferenceFigure>

/** A calculated figure is a book figure unless a remembered one is inside it. */
const knownByOf = (row: Cells): ReferenceFigure['knownBy'] => {
  const kind = oneOf(row, 'kind', ['read', 'calc', 'memory', 'structural_zero'])
  if (kind === 'structural_zero') return 'structural-zero'
  return kind === 'memory' || textOf(row, 'rests_on') === 'mixed' ? 'memory' : 'book'
}

const readProvenance = (): Provenance => {
  const rows = readTable('ingredients.provenance.csv', ['key', 'column', 'value', 'kind', 'source', 'rests_on'])
  return new Map(
    rows.map((row) => {
      const value = numberOf(row, 'value')
      if (value === undefined) throw new Error(`provenance of ${textOf(row, 'key')} ${textOf(row, 'column')} has no value`)
      return [`${textOf(row, 'key')} ${textOf(row, 'column')}`, { value, knownBy: knownByOf(row), source: textOf(row, 'source') }]
    }),
  )
}

/** The figure of one cell with its provenance; undefined when the cell is empty. The two tables must agree. */
const figureOf = (row: Cells, column: string, provenance: Provenance): ReferenceFigure | undefined => {
  const value = numberOf(row, column)
  const origin = provenance.get(`${textOf(row, 'key')} ${column}`)
  if (value === undefined && origin === undefined) return undefined
  if (origin === undefined || value !== origin.value) {
    throw new Error(`${textOf(row, 'key')} ${column}: ingredients.csv and its provenance disagree`)
  }
  return origin
}

const requiredFigure = (row: Cells, column: string, provenance: Provenance): ReferenceFigure => {
  const figure = figureOf(row, column, provenance)
  if (!figure) throw new Error(`${textOf(row, 'key')} lacks ${column}`)
  return figure
}

const sidValue = (row: Cells, nutrient: keyof typeof SID_COEFFICIENTS, provenance: Provenance): BookValue | undefined => {
  const { total, column } = SID_COEFFICIENTS[nutrient]
  const amount = figureOf(row, NUTRIENTS[total].column, provenance)
  if (!amount) return undefined
  // Nothing of what a product cannot hold is digestible, so a structural zero needs no coefficient.
  if (amount.knownBy === 'structural-zero') return { nutrient, value: 0, knownBy: 'structural-zero', source: amount.source }
  const coefficient = figureOf(row, column, provenance)
  if (!coefficient) return undefined
  const knownBy = amount.knownBy === 'memory' || coefficient.knownBy === 'memory' ? 'memory' : 'book'
  const note = `${amount.value} % total x ${coefficient.value} % digestible`
  return { nutrient, value: (amount.value * coefficient.value) / 100, knownBy, source: `${amount.source}; ${coefficient.source}`, note }
}

const isSid = (nutrient: NutrientId): nutrient is keyof typeof SID_COEFFICIENTS => nutrient in SID_COEFFICIENTS

type Kind = { readonly ingredientKey: string; readonly category: string; readonly deviations: readonly DeviationRow[] }

/** What a product cannot hold does not vary; everything else has a deviation of its own or the pooled one of its category. */
const withDeviation = (value: BookValue, { ingredientKey, category, deviations }: Kind): BookValue => {
  if (value.knownBy === 'structural-zero') return value
  const spread = bookSpread(deviations, { ingredientKey, category, nutrient: value.nutrient, value: value.value })
  return spread ? { ...value, sd: spread.sd, sdKind: spread.kind, sdSource: spread.source } : value
}

/** Digestible contents vary with their total and with the digestibility. */
const withDigestibleDeviation = (value: BookValue, total: BookValue | undefined): BookValue => {
  if (total?.sd === undefined || total.sdKind === undefined || value.knownBy === 'structural-zero' || value.value <= 0) return value
  // Pure amino acids count as wholly digestible by convention: nothing of that varies.
  const sd = value.value === total.value ? total.sd : digestibleSd(value.value, total.sd / total.value)
  return { ...value, sd, sdKind: total.sdKind, sdSource: `${total.sdSource ?? ''}; digestibility from memory` }
}

const bookOf = (row: Cells, provenance: Provenance, kind: Kind): BookValue[] => {
  const totals = NUTRIENT_IDS.flatMap((nutrient) => {
    const { column } = NUTRIENTS[nutrient]
    const figure = column === null ? undefined : figureOf(row, column, provenance)
    return figure ? [withDeviation({ nutrient, ...figure }, kind)] : []
  })
  const digestible = NUTRIENT_IDS.filter(isSid).flatMap((nutrient) => {
    const value = sidValue(row, nutrient, provenance)
    const total = totals.find((candidate) => candidate.nutrient === SID_COEFFICIENTS[nutrient].total)
    return value ? [withDigestibleDeviation(value, total)] : []
  })
  return [...totals, ...digestible]
}

const ingredientOf = (row: Cells, provenance: Provenance, deviations: readonly DeviationRow[]): ReferenceIngredient => {
  const inclusion = (group: BirdGroup): ReferenceFigure => requiredFigure(row, `max_incl_${group}_pct`, provenance)
  const bulkDensityKgPerM3 = figureOf(row, 'bulk_density_kg_per_m3', provenance)
  return {
    key: textOf(row, 'key'),
    name: textOf(row, 'name'),
    category: textOf(row, 'category'),
    book: bookOf(row, provenance, { ingredientKey: textOf(row, 'key'), category: textOf(row, 'category'), deviations }),
    ...(bulkDensityKgPerM3 ? { bulkDensityKgPerM3 } : {}),
    maxInclusionPct: { chick: inclusion('chick'), grower: inclusion('grower'), layer: inclusion('layer'), broiler: inclusion('broiler') },
    maxInclusionReason: textOf(row, 'max_incl_reason'),
    mainQualityRisk: textOf(row, 'main_quality_risk'),
    notes: textOf(row, 'notes'),
  }
}

/** The ingredients of the reference with their book values; an empty cell gives no value, which means unknown. */
export const readIngredients = (): ReferenceIngredient[] => {
  const provenance = readProvenance()
  const rows = readTable('ingredients.csv', ['key', 'name', 'category', 'max_incl_reason', 'main_quality_risk', 'notes'])
  const deviations = readDeviations(new Map(rows.map((row) => [textOf(row, 'key'), textOf(row, 'category')])))
  return rows.map((row) => ingredientOf(row, provenance, deviations))
}

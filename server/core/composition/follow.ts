import { scaleValue, scaleValues, weakestKnownBy, type KnownValue, type LotValue, type LotValues, type Step } from './lot-value.js'
import { electrolyteBalance } from './electrolytes.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'

export const AMINO_ACIDS = [
  'Lys',
  'Met',
  'MetCys',
  'Cys',
  'Thr',
  'Trp',
  'Arg',
  'Ile',
  'Leu',
  'Val',
  'His',
  'Phe',
  'Tyr',
  'Gly',
  'Ser',
  'SID_Lys',
  'SID_Met',
  'SID_Cys',
  'SID_MetCys',
  'SID_Thr',
  'SID_Trp',
  'SID_Arg',
  'SID_Ile',
  'SID_Val',
] as const satisfies readonly NutrientId[]

const MINERALS = ['Ca', 'totP', 'avP', 'phytP', 'Na', 'K', 'Cl', 'Mg'] as const satisfies readonly NutrientId[]
const NOT_ORGANIC: readonly NutrientId[] = ['DM', 'ash', 'DEB', ...MINERALS]
const ORGANIC = NUTRIENT_IDS.filter((nutrient) => !NOT_ORGANIC.includes(nutrient))
const FOLLOWS_MOISTURE = NUTRIENT_IDS.filter((nutrient) => nutrient !== 'DM' && nutrient !== 'DEB')

/** All as-fed values follow the dry matter: times (100 - moisture) / book dry matter. Without a book dry matter nothing follows. */
export const followMoisture = (values: LotValues, moisturePct: number, step: Step, sd?: number): LotValues => {
  const book = values.DM
  if (book.value === null || book.value <= 0) return values
  const factor = (100 - moisturePct) / book.value
  const follow = { code: 'follows-dry-matter', facts: { moisturePct, bookDryMatterPct: book.value, factor } }
  const dryMatter: KnownValue = {
    value: 100 - moisturePct,
    knownBy: 'measured',
    ...(sd === undefined ? {} : { sd }),
    ...(book.bookValue === undefined ? {} : { bookValue: book.bookValue }),
    from: [...book.from, step],
  }
  return { ...scaleValues(values, FOLLOWS_MOISTURE, { factor, step: follow }), DM: dryMatter }
}

/**
 * Sand is taken as though the book product held none: it thins every mineral, and the ash grows by it.
 * Only the ash itself is left alone when it was measured.
 */
export const followSand = (values: LotValues, sandPct: number): LotValues => {
  const factor = 1 - sandPct / 100
  const step = { code: 'thinned-by-sand', facts: { sandPct, factor } }
  const thinned = scaleValues(values, MINERALS, { factor, step, remark: true })
  const ash = scaleValue(values.ash, { factor, step, remark: true })
  return ash.value === null ? thinned : { ...thinned, ash: { ...ash, value: ash.value + sandPct } }
}

/** Protein, fat, starch, energy and all else organic follow the organic matter (dry matter less ash) when ash or sand is measured. */
export const followAsh = (values: LotValues, before: { readonly ashPct: number; readonly dryMatterPct: number }): LotValues => {
  const [dryMatter, ash] = [values.DM.value, values.ash.value]
  const organicBefore = before.dryMatterPct - before.ashPct
  if (dryMatter === null || ash === null || organicBefore <= 0) return values
  const factor = Math.max(0, (dryMatter - ash) / organicBefore)
  const step = { code: 'follows-organic-matter', facts: { ashPct: ash, bookAshPct: before.ashPct, factor } }
  return scaleValues(values, ORGANIC, { factor, step, remark: true })
}

/** Values that keep their share of a measured one, e.g. linoleic acid of fat. The caller names the step. */
export const followShare = (
  values: LotValues,
  nutrients: readonly NutrientId[],
  before: number | null,
  after: number | null,
  code: string,
): LotValues => {
  if (before === null || after === null || before <= 0 || before === after) return values
  const step = { code, facts: { before, after, factor: after / before } }
  return scaleValues(values, nutrients, { factor: after / before, step, remark: true })
}

/** A sum of weighted contents with the weakest mark of its parts; unknown when a part is. */
const combined = (parts: readonly LotValue[], code: string, formula: (amounts: readonly number[]) => number, old: LotValue): LotValue => {
  const known = parts.filter((part): part is KnownValue => part.value !== null)
  const bookValue = old.bookValue === undefined ? {} : { bookValue: old.bookValue }
  if (known.length < parts.length)
    return { value: null, knownBy: 'unknown', ...bookValue, from: [{ code: `${code}-part-unknown`, facts: {} }] }
  const weakest = weakestKnownBy(known.map((part) => part.knownBy))
  const knownBy = weakest === 'unknown' ? 'memory' : weakest === 'measured' ? 'worked-out' : weakest
  return { value: formula(known.map((part) => part.value)), knownBy, ...bookValue, from: [{ code, facts: {} }] }
}
const total = (amounts: readonly number[]): number => amounts.reduce((sum, amount) => sum + amount, 0)

/** Methionine + cystine (total anew only when one of the two was measured), the digestible sum, and the electrolyte balance. */
export const deriveSums = (values: LotValues, sulphurMeasured: boolean): LotValues => {
  const both = combined([values.Met, values.Cys], 'methionine-plus-cystine', total, values.MetCys)
  return {
    ...values,
    MetCys: both.value !== null && (sulphurMeasured || values.MetCys.value === null) ? both : values.MetCys,
    SID_MetCys: combined([values.SID_Met, values.SID_Cys], 'methionine-plus-cystine', total, values.SID_MetCys),
    DEB: combined(
      [values.Na, values.K, values.Cl],
      'electrolyte-balance',
      ([na = 0, k = 0, cl = 0]) => electrolyteBalance(na, k, cl),
      values.DEB,
    ),
  }
}

import { ELECTROLYTE_WEIGHTS } from './electrolytes.js'
import { followParent } from './follow-parent.js'
import {
  scaleValue,
  scaleValues,
  spreadParts,
  weakestKnownBy,
  type KnownValue,
  type LotValue,
  type LotValues,
  type Step,
} from './lot-value.js'
import { NUTRIENT_IDS, type NutrientId } from './nutrients.js'
import { addLinked, addSpreads, scaleSpread, type Spread } from './spread.js'

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

const withScatter = (value: LotValue, factorSpread: Spread): LotValue =>
  value.value === null || value.spread === undefined
    ? value
    : { ...value, ...spreadParts(addSpreads(value.spread, scaleSpread(factorSpread, value.value))) }

/**
 * All as-fed values follow the dry matter: times (100 - moisture) / book dry matter. Without a book dry matter nothing follows. The
 * moisture stands as measured, without a prior: it follows the weather and the drying, not the ingredient. `spread` is its own error.
 */
export const followMoisture = (values: LotValues, moisturePct: number, step: Step, spread?: Spread): LotValues => {
  const book = values.DM
  if (book.value === null || book.value <= 0) return values
  const factor = (100 - moisturePct) / book.value
  const follow = { code: 'follows-dry-matter', facts: { moisturePct, bookDryMatterPct: book.value, factor } }
  const dryMatter: KnownValue = {
    value: 100 - moisturePct,
    knownBy: 'measured',
    ...spreadParts(spread),
    ...(book.bookValue === undefined ? {} : { bookValue: book.bookValue }),
    from: [...book.from, step],
  }
  const relative = spread === undefined || moisturePct >= 100 ? undefined : scaleSpread(spread, 1 / (100 - moisturePct))
  const changed: Partial<Record<NutrientId, LotValue>> = { DM: dryMatter }
  for (const nutrient of FOLLOWS_MOISTURE) {
    const scaled = scaleValue(values[nutrient], { factor, step: follow })
    changed[nutrient] = relative ? withScatter(scaled, relative) : scaled
  }
  return { ...values, ...changed }
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
  before: LotValue,
  after: KnownValue,
  code: string,
): LotValues => {
  if (before.value === null || before.value <= 0) return values
  const factor = after.value / before.value
  const step = { code, facts: { before: before.value, after: after.value, factor } }
  const changed: Partial<Record<NutrientId, LotValue>> = {}
  for (const nutrient of nutrients) changed[nutrient] = followParent(values[nutrient], { before, after, factor, step })
  return { ...values, ...changed }
}

type Sum = { readonly code: string; readonly weights: readonly number[]; readonly spreadOf: (...parts: readonly Spread[]) => Spread }

/** The spread of a weighted sum; unknown when a part that can vary has none. */
const spreadOfSum = (parts: readonly KnownValue[], { weights, spreadOf }: Sum): Spread | undefined => {
  const spreads = parts.map((part, i) => {
    const spread = part.spread ?? (part.knownBy === 'structural-zero' ? { own: 0 } : undefined)
    return spread && scaleSpread(spread, weights[i] ?? 0)
  })
  const known = spreads.filter((spread) => spread !== undefined)
  return known.length < parts.length ? undefined : spreadOf(...known)
}

/** A sum of weighted contents with the weakest mark of its parts; unknown when a part is. */
const combined = (parts: readonly LotValue[], sum: Sum, old: LotValue): LotValue => {
  const { code, weights } = sum
  const known = parts.filter((part): part is KnownValue => part.value !== null)
  const bookValue = old.bookValue === undefined ? {} : { bookValue: old.bookValue }
  if (known.length < parts.length)
    return { value: null, knownBy: 'unknown', ...bookValue, from: [{ code: `${code}-part-unknown`, facts: {} }] }
  const weakest = weakestKnownBy(known.map((part) => part.knownBy))
  const knownBy = weakest === 'unknown' ? 'memory' : weakest === 'measured' ? 'worked-out' : weakest
  const value = known.reduce((total, part, i) => total + (weights[i] ?? 0) * part.value, 0)
  return { value, knownBy, ...spreadParts(spreadOfSum(known, sum)), ...bookValue, from: [{ code, facts: {} }] }
}

// Methionine and cystine follow the same protein, so what they share errs the same way in both; the minerals err each by itself.
const BOTH: Sum = { code: 'methionine-plus-cystine', weights: [1, 1], spreadOf: addLinked }
const BALANCE: Sum = { code: 'electrolyte-balance', weights: ELECTROLYTE_WEIGHTS, spreadOf: addSpreads }

/** Methionine + cystine (total anew only when one of the two was measured), the digestible sum, and the electrolyte balance. */
export const deriveSums = (values: LotValues, sulphurMeasured: boolean): LotValues => {
  const both = combined([values.Met, values.Cys], BOTH, values.MetCys)
  return {
    ...values,
    MetCys: both.value !== null && (sulphurMeasured || values.MetCys.value === null) ? both : values.MetCys,
    SID_MetCys: combined([values.SID_Met, values.SID_Cys], BOTH, values.SID_MetCys),
    DEB: combined([values.Na, values.K, values.Cl], BALANCE, values.DEB),
  }
}

/** Values that keep their share of another: digestible of total, available of total phosphorus, linoleic acid of fat. */
const SHARES: Partial<Record<NutrientId, readonly NutrientId[]>> = {
  EE: ['LA'],
  totP: ['avP', 'phytP'],
  Lys: ['SID_Lys'],
  Met: ['SID_Met'],
  Thr: ['SID_Thr'],
  Trp: ['SID_Trp'],
}
export const sharesOf = (nutrient: NutrientId): readonly NutrientId[] => SHARES[nutrient] ?? []

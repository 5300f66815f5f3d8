import { weakestKnownBy } from '#core/composition/lot-value'
import { NUTRIENTS, NUTRIENT_IDS, type KnownBy, type NutrientId } from '#core/composition/nutrients'
import type { LotComposition } from '#core/composition/compose-lot'
import { mixConcentration, type Concentration } from '#core/formulation/concentration'
import type { OptimalFormulation } from '#core/formulation/formulate'
import type { FormulaLimits } from '#core/formulation/limits'
import { mixSd, type SpreadPart } from '#core/formulation/mix-spread'
import { probabilityOf } from '#core/formulation/normal'
import { WORST } from '#core/formulation/row-id'
import { nutrientStates, type NutrientState } from '#core/formulation/mix-states'
import type { MixView } from '#contract/formulas'

/** A lot of the mix as it counts in it and as it is known. */
export type Part = SpreadPart & { readonly composition: LotComposition }
type NutrientOfMix = MixView['nutrients'][number]

/** What a mix is told to have: against a maximum alone its worst case, else what it surely has. */
const told = ({ atLeast, atMost }: Concentration, onlyMax: boolean): number | null => (onlyMax ? (atMost ?? atLeast) : (atLeast ?? atMost))

// Remembered values are the weak ones; unknown ones add nothing to what a mix surely has, but all of what it has at worst.
const weakShareOf = (parts: readonly Part[], nutrient: NutrientId, value: number, onlyMax: boolean): number => {
  const total = parts.reduce((sum, { kg }) => sum + kg, 0)
  const surely = parts.reduce((sum, { kg, composition }) => {
    const { value: content, knownBy } = composition.values[nutrient]
    return knownBy === 'memory' || content === null ? sum : sum + kg * content
  }, 0)
  const whole = value * total
  if (whole === 0 || (!onlyMax && value < 0)) return 0
  return Math.min(1, Math.max(0, 1 - surely / whole))
}

const knownByOf = (parts: readonly Part[], nutrient: NutrientId): KnownBy =>
  weakestKnownBy(parts.map(({ composition }) => composition.values[nutrient].knownBy))

type CertaintyOf = (nutrient: NutrientId) => NutrientOfMix['certainty']

/** What was asked of a limit and what the mix reaches; of a minimum and a maximum the less sure one. */
const certaintiesOf =
  (found: OptimalFormulation, limits: FormulaLimits): CertaintyOf =>
  (nutrient) => {
    const asked = limits.nutrients.find((limit) => limit.nutrient === nutrient)?.certainty ?? 0.5
    if (asked <= 0.5) return null
    const own = found.certainty?.limits.filter((limit) => limit.nutrient === nutrient || limit.nutrient === `${nutrient}${WORST}`) ?? []
    return { asked, reached: Math.min(1, ...own.map(({ zReached }) => (zReached === null ? 1 : probabilityOf(zReached)))) }
  }

const viewOf = (
  nutrient: NutrientId,
  parts: readonly Part[],
  state: NutrientState | undefined,
  certainty: CertaintyOf,
): NutrientOfMix[] => {
  const concentration = state ?? mixConcentration(parts, nutrient)
  const onlyMax = state !== undefined && state.min === null
  const value = told(concentration, onlyMax)
  // Nothing is said of what nobody knows and nobody asked about.
  if (value === null || (state === undefined && concentration.unknownPct >= 100)) return []
  return [
    {
      nutrient,
      unit: NUTRIENTS[nutrient].unit,
      value,
      min: state?.min ?? null,
      max: state?.max ?? null,
      state: state?.state ?? 'no-limit',
      knownBy: knownByOf(parts, nutrient),
      weakShare: weakShareOf(parts, nutrient, value, onlyMax),
      unknownPct: concentration.unknownPct,
      sd: mixSd(parts, nutrient),
      certainty: certainty(nutrient),
    },
  ]
}

/** Every nutrient of a solved mix: the limited ones in their order, then all others that are known of any part of it. */
export const mixNutrients = (
  found: OptimalFormulation,
  lots: Parameters<typeof nutrientStates>[1],
  { limits, parts }: { limits: FormulaLimits; parts: readonly Part[] },
): NutrientOfMix[] => {
  const states = new Map(nutrientStates(found, lots, limits).map((state) => [state.nutrient, state]))
  const certainty = certaintiesOf(found, limits)
  const others = NUTRIENT_IDS.filter((id) => !states.has(id))
  return [...states.keys(), ...others].flatMap((id) => viewOf(id, parts, states.get(id), certainty))
}

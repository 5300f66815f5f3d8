import type { LotFacts } from './facts.js'
import { findingOf, millFinding, worstFirst, type Finding } from './finding.js'
import { amountInLot, basisScale, isAflatoxin, isLotItem } from './hazards.js'
import { canCarryMould, exceptedFrom, isIngredientWord, meansIngredient } from './ingredient-words.js'
import { mustDeclareMedication } from './lot-duties.js'
import { checkAmount } from './limit-check.js'
import { globRank, ruleInForce, severityOf, type SafetySettings } from './precedence.js'
import type { SafetyRule, SafetyTables } from './rows.js'

/** A test that must have been made before a lot is released. */
export type RequiredTest = { readonly ingredientGlob: string; readonly hazard: 'aflatoxin' | 'moisture' | 'urea'; readonly source: string }

/** `ingredients.csv`, main quality risk of groundnut cake: "aflatoxin (test every lot)"; solvent meal is the same seed. */
export const REQUIRED_TESTS: readonly RequiredTest[] = [
  { ingredientGlob: 'groundnut_cake_*|groundnut_meal_*', hazard: 'aflatoxin', source: 'ingredients.csv main_quality_risk' },
]

export type CheckContext = {
  readonly tables: SafetyTables
  readonly settings: SafetySettings
  /** The day of the check, YYYY-MM-DD. */
  readonly on: string
}
export type LotCheckContext = CheckContext & { readonly requiredTests?: readonly RequiredTest[] }

const wordsOf = (rule: SafetyRule): string => (isIngredientWord(rule.item) ? rule.item : rule.appliesTo)

/** The rules in force that look at a lot of this ingredient. */
export const lotRules = (
  { ingredientKey, category }: { readonly ingredientKey: string; readonly category: string },
  { tables, settings }: CheckContext,
): SafetyRule[] =>
  tables.rules.filter(
    (rule) =>
      rule.scope === 'ingredient_lot' &&
      ruleInForce(rule, settings) &&
      isLotItem(rule.item) &&
      meansIngredient(wordsOf(rule), ingredientKey) &&
      !exceptedFrom(rule.appliesTo, ingredientKey) &&
      (!isAflatoxin(rule.item) || canCarryMould(category)),
  )

const hazardOf = (rule: SafetyRule): string => (isAflatoxin(rule.item) ? 'aflatoxin' : rule.item)

const untested = (rule: SafetyRule, lot: LotFacts, required: readonly RequiredTest[]): Finding => {
  const { ingredientKey } = lot.composition
  const must = required.find(({ hazard, ingredientGlob }) => hazard === hazardOf(rule) && globRank(ingredientGlob, ingredientKey) > 0)
  return findingOf(rule, {
    severity: must ? 'block' : 'warn',
    what: {
      code: must ? 'required-test-missing' : 'not-tested',
      facts: { item: rule.item, ingredientKey, required: must?.source ?? null },
    },
    appliesTo: lot.name,
  })
}

const checkLotRule = (rule: SafetyRule, lot: LotFacts, required: readonly RequiredTest[]): Finding => {
  const amount = amountInLot(rule.item, lot.composition)
  if (!amount) return untested(rule, lot, required)
  return checkAmount(rule, amount, lot.name, { scale: basisScale(rule.basis, lot.composition.values.DM.value) })
}

/** Urea found is adulteration, whatever the mix (rule NPN-01: none at all). */
const checkUrea = (lot: LotFacts, { tables, settings }: CheckContext): Finding[] => {
  const urea = lot.composition.contaminants.urea
  if (!urea) return []
  const found = { value: urea.value, unit: urea.unit, knownBy: urea.knownBy }
  const isFound = urea.knownBy === 'measured' && urea.value > 0
  return tables.rules
    .filter((rule) => rule.id === 'NPN-01' && ruleInForce(rule, settings))
    .map((rule) =>
      findingOf(rule, {
        severity: isFound ? severityOf(rule) : 'pass',
        what: { code: isFound ? 'urea-found' : 'urea-not-found', facts: { ingredientKey: lot.composition.ingredientKey } },
        found,
        limit: { value: 0, unit: rule.unit, side: 'equal' },
        appliesTo: lot.name,
      }),
    )
}

const checkExpiry = (lot: LotFacts, on: string): Finding[] =>
  lot.expiresOn !== null && lot.expiresOn < on
    ? [
        millFinding('LOT-EXPIRED', 'lot', {
          severity: 'block',
          what: { code: 'lot-expired', facts: { lot: lot.name, expiresOn: lot.expiresOn, on } },
          appliesTo: lot.name,
        }),
      ]
    : []

const checkDeclared = (lot: LotFacts): Finding[] =>
  mustDeclareMedication(lot.composition) && !lot.medicationDeclared
    ? [
        millFinding('MEDICINE-DECLARED', 'medication', {
          severity: 'warn',
          what: { code: 'medicine-not-declared', facts: { lot: lot.name } },
          appliesTo: lot.name,
        }),
      ]
    : []

/**
 * What stands for or against the release of a lot: moisture, mould poison, salt, sand, urea, expiry, declared medicine. What was not
 * tested warns as unknown; only a test of the required matrix blocks.
 */
export const checkLot = (lot: LotFacts, context: LotCheckContext): Finding[] => {
  const required = context.requiredTests ?? REQUIRED_TESTS
  const byRule = lotRules(lot.composition, context).map((rule) => checkLotRule(rule, lot, required))
  return worstFirst([...checkExpiry(lot, context.on), ...checkUrea(lot, context), ...byRule, ...checkDeclared(lot)])
}

/** A lot past its re-test date is not used until somebody has tested and released it again. */
const checkRetest = ({ retestOn, name }: LotFacts, on: string): Finding[] =>
  retestOn !== undefined && retestOn !== null && retestOn < on
    ? [
        millFinding('LOT-RETEST', 'lot', {
          severity: 'block',
          what: { code: 'lot-retest-due', facts: { lot: name, retestOn, on } },
          appliesTo: name,
        }),
      ]
    : []

/** Whether a release for some stages only covers this one. */
export const isReleasedFor = (releasedFor: readonly string[] | undefined, stage: string): boolean =>
  releasedFor === undefined || releasedFor.length === 0 || releasedFor.includes(stage)

const checkStage = ({ releasedFor, name }: LotFacts, stage: string): Finding[] =>
  isReleasedFor(releasedFor, stage)
    ? []
    : [
        millFinding('LOT-STAGE', 'lot', {
          severity: 'block',
          what: { code: 'lot-not-for-stage', facts: { lot: name, stage } },
          appliesTo: name,
        }),
      ]

/** Whether a lot may stand in a load of a stage at all: released, for this stage too, and past neither of its dates. */
export const checkLotUse = (lot: LotFacts, on: string, stage?: string): Finding[] => {
  const expired = [...checkExpiry(lot, on), ...checkRetest(lot, on), ...(stage === undefined ? [] : checkStage(lot, stage))]
  if (lot.status === 'released') return expired
  const parts = {
    severity: 'block',
    what: { code: 'lot-not-released', facts: { lot: lot.name, status: lot.status } },
    appliesTo: lot.name,
  } as const
  return [millFinding('LOT-STATUS', 'lot', parts), ...expired]
}

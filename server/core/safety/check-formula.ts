import type { FormulaLimits, NutrientLimit } from '../formulation/limits.js'
import type { CheckContext } from './check-lot.js'
import type { FeedMedication } from './facts.js'
import { findingOf, millFinding, worstFirst, type Finding } from './finding.js'
import { isVitaminPremix } from './ingredient-words.js'
import { checkMedication } from './medication.js'
import { nutrientOfRule } from './nutrient-items.js'
import { ruleInForce, rulesForStage, severityOf } from './precedence.js'
import type { SafetyRule } from './rows.js'

export type FormulaFacts = { readonly stage: string; readonly limits: FormulaLimits; readonly medication: readonly FeedMedication[] }

const finding = (rule: SafetyRule, stage: string, severity: Finding['severity'], code: string, value: number | undefined): Finding => ({
  ...findingOf(rule, {
    severity,
    what: { code, facts: { item: rule.item, stage } },
    found: value === undefined ? null : { value, unit: rule.unit, knownBy: 'worked-out' },
    appliesTo: stage,
  }),
  limit: { value: (rule.operator === '>=' ? rule.low : rule.high) ?? 0, unit: rule.unit, side: rule.operator === '>=' ? 'min' : 'max' },
})

/** A formula that allows more than a rule does is refused; one that sets no maximum is only warned of, because each mix is checked. */
const checkMaximum = (rule: SafetyRule, limit: NutrientLimit | undefined, stage: string, high: number): Finding => {
  if (limit?.min !== undefined && limit.min > high) return finding(rule, stage, severityOf(rule), 'minimum-above-rule', limit.min)
  if (limit?.max === undefined) return finding(rule, stage, 'warn', 'no-maximum-set', undefined)
  if (limit.max > high) return finding(rule, stage, severityOf(rule), 'maximum-above-rule', limit.max)
  return finding(rule, stage, 'pass', 'inside-limit', limit.max)
}

/** A formula that can never reach a rule's minimum is refused; one that may fall short of it is warned of. */
const checkMinimum = (rule: SafetyRule, limit: NutrientLimit | undefined, stage: string, low: number): Finding => {
  if (limit?.max !== undefined && limit.max < low) return finding(rule, stage, severityOf(rule), 'maximum-below-rule', limit.max)
  if (limit?.min === undefined) return finding(rule, stage, 'warn', 'no-minimum-set', undefined)
  if (limit.min < low) return finding(rule, stage, 'warn', 'minimum-below-rule', limit.min)
  return finding(rule, stage, 'pass', 'inside-limit', limit.min)
}

/** The limits of a formula against one rule; rules of things that a formula does not limit say nothing. */
export const checkLimitRule = (rule: SafetyRule, limits: FormulaLimits, stage: string): Finding[] => {
  const nutrient = nutrientOfRule(rule)
  if (nutrient === undefined) return []
  const limit = limits.nutrients.find((candidate) => candidate.nutrient === nutrient)
  if (rule.operator === '<=' && rule.high !== undefined) return [checkMaximum(rule, limit, stage, rule.high)]
  return rule.operator === '>=' && rule.low !== undefined ? [checkMinimum(rule, limit, stage, rule.low)] : []
}

/** The limits of a formula against the rules of one stage. */
export const checkLimits = (limits: FormulaLimits, stage: string, { tables, settings }: CheckContext): Finding[] => {
  const inForce = tables.rules.filter((rule) => rule.scope === 'flock' && ruleInForce(rule, settings))
  return rulesForStage(inForce, stage).flatMap((rule) => checkLimitRule(rule, limits, stage))
}

/** Whether a formula makes sure of a vitamin premix: by a lowest share of one, or of a group that is nothing else. */
const holdsVitamins = ({ ingredients, groups }: FormulaLimits): boolean =>
  ingredients.some(({ ingredientId, minPct = 0 }) => minPct > 0 && isVitaminPremix(ingredientId)) ||
  groups.some(({ ingredientIds, minPct = 0 }) => minPct > 0 && ingredientIds.every(isVitaminPremix))

/** The cheapest mix leaves vitamins out unless the formula asks for them. No rule of the tables says so: common practice, no source. */
const checkVitamins = (limits: FormulaLimits, stage: string): Finding[] =>
  holdsVitamins(limits)
    ? []
    : [
        {
          ...millFinding('VITAMIN-SOURCE', 'vitamins', {
            severity: 'warn',
            what: { code: 'no-vitamin-source', facts: { stage } },
            appliesTo: stage,
          }),
          source: { key: 'practice', read: false, jurisdiction: 'any' },
        },
      ]

/** A formula version before it is submitted or approved: its limits and its medicine for the stage it names. */
export const checkFormula = ({ stage, limits, medication }: FormulaFacts, context: CheckContext): Finding[] =>
  worstFirst([...checkMedication(medication, { stage }, context), ...checkLimits(limits, stage, context), ...checkVitamins(limits, stage)])

import { doseRuleOf, type DoseText } from '#core/safety/dose-table'
import type { RequirementRow } from '#core/requirement/rows'
import type { DoseRule, SafetyRule, SafetyTables } from '#core/safety/rows'
import { isRead, numberOf, oneOf, readTable, textOf, type Cells } from './reference-csv.js'

type Known<K extends string> = Readonly<Partial<Record<K, number>>>

/** The filled numbers among some cells; an empty cell leaves its member out. */
const numbersOf = <K extends string>(row: Cells, columns: Readonly<Record<K, string>>): Known<K> => {
  const found: Partial<Record<K, number>> = {}
  for (const key in columns) {
    const value = numberOf(row, columns[key])
    if (value !== undefined) found[key] = value
  }
  return found
}

const requirementOf = (row: Cells): RequirementRow => ({
  stage: textOf(row, 'flock_type'),
  nutrient: textOf(row, 'nutrient'),
  unit: textOf(row, 'unit'),
  ...numbersOf(row, {
    min: 'min',
    target: 'target',
    max: 'max',
    referenceEnergyKcalPerKg: 'reference_energy_kcal_per_kg',
    referenceIntakeG: 'reference_intake_g_per_bird_day',
  }),
  basis: textOf(row, 'basis'),
  source: textOf(row, 'source'),
  read: isRead(row),
  note: textOf(row, 'note'),
})

const REQUIREMENT_COLUMNS = ['flock_type', 'nutrient', 'unit', 'min', 'target', 'max', 'basis', 'source', 'seen', 'note']
export const readRequirements = (): RequirementRow[] => readTable('requirements.csv', REQUIREMENT_COLUMNS).map(requirementOf)

/** Vitamins and trace minerals, in the same form; some stages are group words such as `layer_all`. */
export const readMicronutrients = (): RequirementRow[] => readTable('micronutrients.csv', REQUIREMENT_COLUMNS).map(requirementOf)

/** Limits that are a pair of numbers (a combined coccidiostat) keep their text; `low` and `high` are then each active's. */
const ruleOf = (row: Cells): SafetyRule => ({
  id: textOf(row, 'rule_id'),
  topic: textOf(row, 'topic'),
  protects: textOf(row, 'protects'),
  itemType: textOf(row, 'item_type'),
  item: textOf(row, 'item'),
  operator: oneOf(row, 'operator', ['<=', '>=', '==', 'in', 'not_with']),
  limit: textOf(row, 'limit'),
  ...numbersOf(row, { low: 'limit_low', high: 'limit_high' }),
  unit: textOf(row, 'unit'),
  basis: textOf(row, 'basis'),
  scope: oneOf(row, 'scope', ['flock', 'ingredient_lot', 'premixture', 'process', 'label', 'combination']),
  flockGlob: textOf(row, 'flock_glob'),
  appliesTo: textOf(row, 'applies_to'),
  condition: textOf(row, 'condition_note'),
  severity: oneOf(row, 'severity', ['warn', 'block']),
  action: textOf(row, 'action'),
  jurisdiction: textOf(row, 'jurisdiction'),
  source: textOf(row, 'source'),
  read: isRead(row),
  note: textOf(row, 'note'),
})

const RULE_COLUMNS = ['rule_id', 'topic', 'item', 'operator', 'limit', 'scope', 'flock_glob', 'severity', 'jurisdiction', 'seen']
export const readSafetyRules = (): SafetyRule[] => readTable('safety_rules.csv', RULE_COLUMNS).map(ruleOf)

const doseTextOf = (row: Cells): DoseText => ({
  jurisdiction: textOf(row, 'jurisdiction'),
  active: textOf(row, 'active'),
  category: textOf(row, 'category'),
  maxAgeWeeks: textOf(row, 'max_age_weeks'),
  minMgPerKg: textOf(row, 'min_mg_per_kg'),
  maxMgPerKg: textOf(row, 'max_mg_per_kg'),
  withdrawalDays: textOf(row, 'withdrawal_days'),
  mayFeedToLayingHens: textOf(row, 'may_feed_to_laying_hens'),
  dangerousTo: textOf(row, 'toxic_or_dangerous_to'),
  avoidWith: textOf(row, 'avoid_with'),
  labelDuty: textOf(row, 'label_duty'),
  legalNote: textOf(row, 'legal_status_note'),
  source: textOf(row, 'source'),
  seen: textOf(row, 'seen'),
})

/** The authorised uses. A row without doses (amprolium in the EU) allows nothing and is left out. */
export const readCoccidiostats = (rules: readonly SafetyRule[] = readSafetyRules()): DoseRule[] => {
  const rows = readTable('coccidiostats.csv', ['jurisdiction', 'active', 'category', 'min_mg_per_kg', 'max_mg_per_kg', 'source', 'seen'])
  return rows.filter((row) => textOf(row, 'min_mg_per_kg') !== '').map((row) => doseRuleOf(doseTextOf(row), rules))
}

/** Everything the safety checks of core need. */
export const readSafetyTables = (): SafetyTables => {
  const rules = readSafetyRules()
  return { rules, doses: readCoccidiostats(rules) }
}

export type MillPracticeRow = {
  readonly id: string
  readonly topic: string
  readonly parameter: string
  readonly condition: string
  readonly value: string
  readonly unit: string
  readonly formula: string
  readonly source: string
  readonly read: boolean
  readonly note: string
}

export const readMillPractice = (): MillPracticeRow[] =>
  readTable('mill_practice.csv', ['id', 'topic', 'parameter', 'condition', 'value', 'unit', 'formula', 'source', 'seen', 'note']).map(
    (row) => ({
      id: textOf(row, 'id'),
      topic: textOf(row, 'topic'),
      parameter: textOf(row, 'parameter'),
      condition: textOf(row, 'condition'),
      value: textOf(row, 'value'),
      unit: textOf(row, 'unit'),
      formula: textOf(row, 'formula'),
      source: textOf(row, 'source'),
      read: isRead(row),
      note: textOf(row, 'note'),
    }),
  )

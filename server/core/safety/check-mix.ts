import type { WorstCases } from '../composition/book.js'
import { checkMedicineWithoutStage, rearingCalciumRules, stagesToKeep, type FlockFacts } from './birds.js'
import { checkCarryOver, type EarlierLoad } from './carry-over.js'
import { checkLotUse, type CheckContext } from './check-lot.js'
import type { FeedMedication } from './facts.js'
import { findingOf, millFinding, worstFirst, type Finding } from './finding.js'
import { basisScale, isAflatoxin } from './hazards.js'
import { isIngredientWord, meansIngredient } from './ingredient-words.js'
import { mustDeclareMedication } from './lot-duties.js'
import { checkAmount, type Amount } from './limit-check.js'
import { activeKey, checkMedication, isForHens } from './medication.js'
import { contaminantInMix, dosesInMix, nutrientInMix, sharePct, untestedSharePct, type Mix } from './mix-content.js'
import { intakeScale, nutrientOfRule } from './nutrient-items.js'
import { ruleInForce, rulesForStage } from './precedence.js'
import type { SafetyRule } from './rows.js'

export type MixFacts = {
  readonly stage: string
  /** The medicine the formula names; nothing else may be in the mix. */
  readonly medication: readonly FeedMedication[]
  readonly mix: Mix
  readonly flock?: FlockFacts | undefined
}
export type MixContext = CheckContext & { readonly worst: WorstCases }

const exact = (value: number, unit: string): Amount => ({ low: value, high: value, unit, knownBy: 'worked-out' })

const ratioInMix = (mix: Mix, worst: WorstCases): Amount | undefined => {
  const [calcium, phosphorus] = [nutrientInMix(mix, 'Ca', worst), nutrientInMix(mix, 'avP', worst)]
  if (calcium.high === null || phosphorus.low <= 0) return undefined
  return {
    low: calcium.low / (phosphorus.high ?? phosphorus.low),
    high: calcium.high / phosphorus.low,
    unit: 'ratio',
    knownBy: calcium.knownBy,
  }
}

const isShareRule = (rule: SafetyRule): boolean => isIngredientWord(rule.item) && rule.unit === '%' && rule.scope === 'flock'

const checkRule = (rule: SafetyRule, stage: string, { mix, flock }: MixFacts, { worst }: MixContext): Finding[] => {
  const nutrient = nutrientOfRule(rule)
  if (nutrient) return [checkAmount(rule, nutrientInMix(mix, nutrient, worst), stage, { scale: intakeScale(rule, flock?.intakeG) })]
  if (isAflatoxin(rule.item)) {
    const dryMatter = nutrientInMix(mix, 'DM', worst)
    const facts = { untestedSharePct: untestedSharePct(mix, rule.item) }
    const dryMatterPct = dryMatter.high === dryMatter.low ? dryMatter.low : null
    return [checkAmount(rule, contaminantInMix(mix, rule.item), stage, { facts, scale: basisScale(rule.basis, dryMatterPct) })]
  }
  if (isShareRule(rule))
    return [
      checkAmount(
        rule,
        exact(
          sharePct(mix, (key) => meansIngredient(rule.item, key)),
          '%',
        ),
        stage,
      ),
    ]
  const ratio = rule.item === 'Ca/avP' ? ratioInMix(mix, worst) : undefined
  return ratio ? [checkAmount(rule, ratio, stage)] : []
}

/** The moisture of finished mash (rule MOI-22). */
const checkMoisture = ({ mix, stage }: MixFacts, { tables, settings, worst }: MixContext): Finding[] => {
  const { low, high, knownBy } = nutrientInMix(mix, 'DM', worst)
  if (high !== low) return []
  return tables.rules
    .filter((rule) => rule.item === 'moisture' && rule.appliesTo === 'finished mash' && ruleInForce(rule, settings))
    .map((rule) => checkAmount(rule, { low: 100 - low, high: 100 - low, unit: '%', knownBy }, stage))
}

/** No rule at all names these birds for mould poison: said, not passed over. */
const checkNoRule = (findings: readonly Finding[], rules: readonly SafetyRule[], stage: string): Finding[] => {
  const [first] = rules.filter((rule) => isAflatoxin(rule.item) && rule.scope === 'flock')
  if (!first || findings.some(({ topic }) => topic === 'aflatoxin')) return []
  return [
    millFinding('NO-RULE', 'aflatoxin', {
      severity: 'warn',
      what: { code: 'no-rule-for-these-birds', facts: { stage } },
      appliesTo: stage,
    }),
  ]
}

const checkRules = (facts: MixFacts, context: MixContext): Finding[] => {
  const inForce = context.tables.rules.filter((rule) => rule.scope === 'flock' && ruleInForce(rule, context.settings))
  const byRule = new Map<string, Finding>()
  for (const stage of stagesToKeep(facts.stage, facts.flock, context)) {
    const findings = rulesForStage(inForce, stage).flatMap((rule) => checkRule(rule, stage, facts, context))
    for (const finding of [...findings, ...checkNoRule(findings, inForce, stage)]) {
      if (!byRule.has(finding.ruleId)) byRule.set(finding.ruleId, finding)
    }
  }
  const rearing = rearingCalciumRules(facts.stage, facts.flock, context).flatMap((rule) => checkRule(rule, facts.stage, facts, context))
  for (const finding of rearing) if (!byRule.has(finding.ruleId)) byRule.set(finding.ruleId, finding)
  return [...byRule.values(), ...checkMoisture(facts, context)]
}

/** How far a weighed dose may be from the formula's, per cent of it; common practice, no source. */
const DOSE_TOLERANCE_PCT = 5

/** The dose computed from the lots' declared strength must be the formula's, no more and no less, and nothing else. */
const checkDoses = ({ mix, medication, stage }: MixFacts): Finding[] => {
  const made = dosesInMix(mix)
  const of = (list: readonly FeedMedication[], active: string): number =>
    list.filter((part) => activeKey(part.active) === activeKey(active)).reduce((total, part) => total + part.mgPerKg, 0)
  const actives = new Map([...medication, ...made].map(({ active }) => [activeKey(active), active]))
  return [...actives.values()].map((active) => {
    const [wanted, found] = [of(medication, active), of(made, active)]
    const agrees = wanted > 0 && Math.abs(found - wanted) <= (wanted * DOSE_TOLERANCE_PCT) / 100
    const code = agrees
      ? 'dose-as-formula'
      : wanted === 0
        ? 'medicine-not-in-formula'
        : found === 0
          ? 'medicine-missing'
          : 'dose-not-as-formula'
    return millFinding('MEDICINE-DOSE', 'medication', {
      severity: agrees ? 'pass' : 'block',
      what: { code, facts: { active, tolerancePct: DOSE_TOLERANCE_PCT } },
      found: { value: found, unit: 'mg/kg', knownBy: 'worked-out' },
      limit: { value: wanted, unit: 'mg/kg', side: 'equal' },
      appliesTo: stage,
    })
  })
}

/** Bought premixes and concentrates that do not say whether they hold medicine are refused for hens. */
const checkDeclared = ({ mix, stage }: MixFacts, stages: readonly string[], context: MixContext): Finding[] => {
  const hens = stages.some((kept) => isForHens(kept, context))
  return mix
    .filter(({ lot, kg }) => kg > 0 && mustDeclareMedication(lot.composition) && !lot.medicationDeclared)
    .map(({ lot }) =>
      millFinding('MEDICINE-DECLARED', 'medication', {
        severity: hens ? 'block' : 'warn',
        what: { code: hens ? 'medicine-not-declared-for-hens' : 'medicine-not-declared', facts: { lot: lot.name, stage } },
        appliesTo: lot.name,
      }),
    )
}

/** Urea found in a lot that stands in the mix (rule NPN-01: none). */
const checkUrea = ({ mix, stage }: MixFacts, { tables, settings }: MixContext): Finding[] => {
  const adulterated = mix.filter(({ lot: { composition }, kg }) => kg > 0 && composition.contaminants.urea?.knownBy === 'measured')
  return tables.rules
    .filter((rule) => rule.id === 'NPN-01' && ruleInForce(rule, settings))
    .flatMap((rule) =>
      adulterated
        .filter(({ lot }) => (lot.composition.contaminants.urea?.value ?? 0) > 0)
        .map(({ lot }) =>
          findingOf(rule, { severity: rule.severity, what: { code: 'urea-found', facts: { lot: lot.name } }, appliesTo: stage }),
        ),
    )
}

/**
 * A solved or rounded mix for its stage and, where known, its flock: lots that may be used, nutrients, mould poison, shares of
 * ingredients, medicine. An empty mix has nothing to find.
 */
export const checkMix = (facts: MixFacts, context: MixContext): Finding[] => {
  const { mix, medication, flock } = facts
  if (mix.every(({ kg }) => kg <= 0)) return []
  const stages = stagesToKeep(facts.stage, flock, context)
  const lots = mix.filter(({ kg }) => kg > 0).flatMap(({ lot }) => checkLotUse(lot, context.on, facts.stage))
  const legal = stages.flatMap((stage) => checkMedication(medication, { stage, ageWeeks: flock?.ageWeeks }, context))
  const unknown = checkMedicineWithoutStage(medication, facts.stage, flock)
  const own = [...unknown, ...checkDoses(facts), ...checkDeclared(facts, stages, context), ...checkUrea(facts, context)]
  return worstFirst([...lots, ...legal, ...own, ...checkRules(facts, context)])
}

/** One load of the mixer: everything of a mix, and what went through the mixer before it (oldest first). */
export const checkBatch = (facts: MixFacts, earlier: readonly EarlierLoad[], context: MixContext): Finding[] =>
  worstFirst([...checkCarryOver(facts, earlier, context), ...checkMix(facts, context)])

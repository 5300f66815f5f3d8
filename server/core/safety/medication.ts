import { stageOf } from '../requirement/stages.js'
import type { CheckContext } from './check-lot.js'
import type { FeedMedication } from './facts.js'
import { findingOf, millFinding, type Finding, type FindingFacts } from './finding.js'
import { globRank, medicationJurisdictionOf, ruleInForce } from './precedence.js'
import type { DoseRule } from './rows.js'

/** One word for each active, without its salt, so that "salinomycin" is "salinomycin sodium"; combinations in a fixed order. */
export const activeKey = (active: string): string =>
  active
    .toLowerCase()
    .split('+')
    .map((part) => part.trim().split(/\s+/)[0] ?? '')
    .toSorted()
    .join('+')

type Dose = { readonly active: string; readonly mgPerKg: readonly number[] }

/** Two medicines that one authorised combination names are looked up together, each with its own dose. */
const dosesOf = (medication: readonly FeedMedication[], rules: readonly DoseRule[]): Dose[] => {
  if (medication.length > 1) {
    const inOrder = medication.toSorted((a, b) => activeKey(a.active).localeCompare(activeKey(b.active)))
    const active = inOrder.map((part) => part.active).join(' + ')
    if (rules.some((rule) => activeKey(rule.active) === activeKey(active)))
      return [{ active, mgPerKg: inOrder.map((part) => part.mgPerKg) }]
  }
  return medication.map(({ active, mgPerKg }) => ({ active, mgPerKg: [mgPerKg] }))
}

/** A combination declared as one active has its dose split evenly, as both authorised combinations are 1:1. */
const partsOf = (dose: Dose, rule: DoseRule): readonly number[] => {
  const [only] = dose.mgPerKg
  const parts = rule.minMgPerKg.length
  return dose.mgPerKg.length === 1 && parts > 1 && only !== undefined ? rule.minMgPerKg.map(() => only / parts) : dose.mgPerKg
}

const insideDose = (dose: Dose, rule: DoseRule): boolean =>
  partsOf(dose, rule).every(
    (part, i) => part >= (rule.minMgPerKg[i] ?? Infinity) * (1 - 1e-9) && part <= (rule.maxMgPerKg[i] ?? 0) * (1 + 1e-9),
  )

type Birds = { readonly stage: string; readonly ageWeeks?: number | undefined }
type AgeVerdict = 'inside' | 'too-old' | 'ask-age'
const ageVerdict = ({ stage, ageWeeks }: Birds, { maxAgeWeeks }: DoseRule): AgeVerdict => {
  if (maxAgeWeeks === undefined) return 'inside'
  if (ageWeeks !== undefined) return ageWeeks <= maxAgeWeeks ? 'inside' : 'too-old'
  const band = stageOf(stage)
  if (!band || band.fromWeek >= maxAgeWeeks) return 'too-old'
  return band.toWeek !== null && band.toWeek <= maxAgeWeeks ? 'inside' : 'ask-age'
}

type Refusal = 'no-authorised-use' | 'not-for-this-flock' | 'not-for-laying-hens' | 'birds-too-old' | 'dose-outside'
type Match = { readonly rule: DoseRule; readonly refusal: Refusal | null; readonly age: AgeVerdict }

/** How near a use is to being allowed: the nearest one explains the refusal best. */
const NEARNESS: readonly (Refusal | null)[] = [
  'no-authorised-use',
  'not-for-this-flock',
  'not-for-laying-hens',
  'birds-too-old',
  'dose-outside',
  null,
]

const judge = (rule: DoseRule, dose: Dose, birds: Birds, hens: boolean): Match => {
  const age = ageVerdict(birds, rule)
  const refusal: Refusal | null =
    globRank(rule.flockGlob, birds.stage) === 0
      ? 'not-for-this-flock'
      : hens && !rule.mayFeedToLayingHens
        ? 'not-for-laying-hens'
        : age === 'too-old'
          ? 'birds-too-old'
          : insideDose(dose, rule)
            ? null
            : 'dose-outside'
  return { rule, refusal, age }
}

const total = (numbers: readonly number[]): number => numbers.reduce((sum, number) => sum + number, 0)

const dutiesOf = (rule: DoseRule): FindingFacts => ({
  category: rule.category,
  withdrawalDays: rule.withdrawalDays ?? null,
  labelDuty: rule.labelDuty,
  dangerousTo: rule.dangerousTo,
  avoidWith: rule.avoidWith,
  maxAgeWeeks: rule.maxAgeWeeks ?? null,
  legalNote: rule.legalNote,
  veterinaryOrder: rule.mayFeedToLayingHens,
})

const doseFinding = ({ rule, refusal, age }: Match, dose: Dose, stage: string): Finding => {
  const code = refusal ?? (age === 'ask-age' ? 'ask-age' : 'dose-allowed')
  return {
    ruleId: rule.ruleId,
    // An authorisation that was not read is no permission to rely on, and an age to be asked is asked with the order.
    severity: refusal ? 'block' : age === 'ask-age' || !rule.read ? 'warn' : 'pass',
    topic: 'coccidiostat dose',
    what: { code, facts: { active: dose.active, stage, ...dutiesOf(rule) } },
    found: { value: total(dose.mgPerKg), unit: 'mg/kg', knownBy: 'worked-out' },
    limit: { value: total(rule.minMgPerKg), unit: 'mg/kg', side: 'range', high: total(rule.maxMgPerKg) },
    source: { key: rule.source, read: rule.read, jurisdiction: rule.jurisdiction },
    appliesTo: stage,
    action: refusal ? 'dose outside range or wrong class: stop' : '',
  }
}

const hensFinding = (dose: Dose, stage: string, { tables, settings }: CheckContext): Finding[] =>
  tables.rules
    .filter((rule) => rule.id === 'COC-GEN-01' && ruleInForce(rule, settings))
    .map((rule) =>
      findingOf(rule, {
        severity: 'block',
        what: { code: 'not-for-laying-hens', facts: { active: dose.active, stage } },
        found: { value: total(dose.mgPerKg), unit: 'mg/kg', knownBy: 'worked-out' },
        limit: { value: 0, unit: 'mg/kg', side: 'equal' },
        appliesTo: stage,
      }),
    )

/** Whether birds of this stage lay eggs for people, or soon will: the stages of rule COC-GEN-01, and every laying stage. */
export const isForHens = (stage: string, { tables }: Pick<CheckContext, 'tables'>): boolean =>
  stageOf(stage)?.laying === true || tables.rules.some((rule) => rule.id === 'COC-GEN-01' && globRank(rule.flockGlob, stage) > 0)

const checkDose = (dose: Dose, birds: Birds, context: CheckContext): Finding[] => {
  const jurisdiction = medicationJurisdictionOf(context.settings)
  const hens = isForHens(birds.stage, context)
  const [nearest] = context.tables.doses
    .filter((rule) => rule.jurisdiction === jurisdiction && activeKey(rule.active) === activeKey(dose.active))
    .map((rule) => judge(rule, dose, birds, hens))
    .toSorted((a, b) => NEARNESS.indexOf(b.refusal) - NEARNESS.indexOf(a.refusal))
  const allowed = nearest?.refusal === null
  const own = nearest
    ? doseFinding(nearest, dose, birds.stage)
    : millFinding('MEDICINE-NO-RULE', 'coccidiostat dose', {
        severity: 'block',
        what: { code: 'no-authorised-use', facts: { active: dose.active, stage: birds.stage, jurisdiction } },
        found: { value: total(dose.mgPerKg), unit: 'mg/kg', knownBy: 'worked-out' },
        appliesTo: birds.stage,
      })
  return hens && !allowed ? [...hensFinding(dose, birds.stage, context), own] : [own]
}

/** More than one coccidiostat in a feed, other than an authorised combination (rule COC-GEN-05). */
const checkCount = (doses: readonly Dose[], stage: string, { tables, settings }: CheckContext): Finding[] =>
  tables.rules
    .filter((rule) => rule.id === 'COC-GEN-05' && (rule.jurisdiction === medicationJurisdictionOf(settings) || ruleInForce(rule, settings)))
    .flatMap((rule) =>
      doses.length > 1
        ? findingOf(rule, {
            severity: 'block',
            what: { code: 'several-coccidiostats', facts: { count: doses.length, stage } },
            found: { value: doses.length, unit: rule.unit, knownBy: 'worked-out' },
            limit: { value: 1, unit: rule.unit, side: 'max' },
            appliesTo: stage,
          })
        : [],
    )

/**
 * Each medicine of a feed against the authorised uses of the mill's jurisdiction, for a stage and, where known, the age of the birds.
 * No row that allows it means not allowed. A passing finding carries withdrawal days and label duties as facts.
 */
export const checkMedication = (medication: readonly FeedMedication[], birds: Birds, context: CheckContext): Finding[] => {
  const jurisdiction = medicationJurisdictionOf(context.settings)
  const doses = dosesOf(
    medication,
    context.tables.doses.filter((rule) => rule.jurisdiction === jurisdiction),
  )
  return [...doses.flatMap((dose) => checkDose(dose, birds, context)), ...checkCount(doses, birds.stage, context)]
}

import type { DoseRule, SafetyRule } from './rows.js'

/** One authorised use of a coccidiostat as the reference table has it: doses and ages as text. */
export type DoseText = {
  readonly jurisdiction: string
  readonly active: string
  readonly category: string
  readonly maxAgeWeeks: string
  /** "40+40" is one figure for each of two actives. */
  readonly minMgPerKg: string
  readonly maxMgPerKg: string
  readonly withdrawalDays: string
  readonly mayFeedToLayingHens: string
  readonly dangerousTo: string
  readonly avoidWith: string
  readonly labelDuty: string
  readonly legalNote: string
  readonly source: string
  /** How the row is known: `read`, or from memory. */
  readonly seen: string
}

const dosesIn = (text: string, active: string): number[] =>
  text.split('+').map((part) => {
    const dose = Number(part)
    if (part.trim() === '' || !Number.isFinite(dose)) throw new Error(`${active}: dose "${part}" is not a number`)
    return dose
  })

/** A text that is a number; the others ("to onset of lay") say nothing that can be computed with. */
const numberIn = (text: string): number | undefined => (text !== '' && Number.isFinite(Number(text)) ? Number(text) : undefined)

/** The rule that belongs to an authorised use, and only to it: same active, place, doses and birds. */
const isRuleOf = (rule: SafetyRule, row: DoseText): boolean =>
  rule.topic === 'coccidiostat dose' &&
  rule.item === row.active &&
  rule.jurisdiction === row.jurisdiction &&
  rule.limit === `${row.minMgPerKg}..${row.maxMgPerKg}` &&
  (rule.appliesTo === row.category || rule.appliesTo.startsWith(`${row.category}, age`))

/** An authorised use joined with its rule, which names the flocks. Throws where no rule, or more than one, belongs to it. */
export const doseRuleOf = (row: DoseText, rules: readonly SafetyRule[]): DoseRule => {
  const [rule, ...others] = rules.filter((candidate) => isRuleOf(candidate, row))
  if (rule === undefined || others.length > 0) throw new Error(`${row.active} for ${row.category} has no rule of its own`)
  const maxAgeWeeks = numberIn(row.maxAgeWeeks)
  const withdrawalDays = numberIn(row.withdrawalDays)
  return {
    ruleId: rule.id,
    jurisdiction: row.jurisdiction,
    active: row.active,
    category: row.category,
    flockGlob: rule.flockGlob,
    ...(maxAgeWeeks === undefined ? {} : { maxAgeWeeks }),
    minMgPerKg: dosesIn(row.minMgPerKg, row.active),
    maxMgPerKg: dosesIn(row.maxMgPerKg, row.active),
    ...(withdrawalDays === undefined ? {} : { withdrawalDays }),
    mayFeedToLayingHens: row.mayFeedToLayingHens.startsWith('yes'),
    dangerousTo: row.dangerousTo,
    avoidWith: row.avoidWith,
    labelDuty: row.labelDuty,
    legalNote: row.legalNote,
    source: row.source,
    read: row.seen === 'read',
  }
}

import type { Severity } from './finding.js'
import type { SafetyRule } from './rows.js'

/** Which rules a mill has switched on: `any` and one jurisdiction; medicated feed may follow another country's authorisations. */
export type SafetySettings = {
  readonly jurisdiction: string
  /** `EU` or `US`, whose coccidiostat authorisations apply; without it those of `jurisdiction`. */
  readonly medicationJurisdiction?: string | undefined
}

export const medicationJurisdictionOf = (settings: SafetySettings): string => settings.medicationJurisdiction ?? settings.jurisdiction

export const ruleInForce = (rule: SafetyRule, settings: SafetySettings): boolean => {
  const own = rule.topic === 'coccidiostat dose' ? medicationJurisdictionOf(settings) : settings.jurisdiction
  return rule.jurisdiction === 'any' || rule.jurisdiction === own
}

/**
 * A law whose text was not read only warns; a rule of good practice (jurisdiction `any`) keeps its severity and says that it is
 * from memory.
 */
export const severityOf = (rule: SafetyRule): Exclude<Severity, 'pass'> =>
  rule.jurisdiction !== 'any' && !rule.read ? 'warn' : rule.severity

/** Making a pattern takes longer than asking it, and the tables hold a few dozen. */
const patterns = new Map<string, RegExp>()
const patternOf = (token: string): RegExp => {
  const known = patterns.get(token)
  if (known !== undefined) return known
  const pattern = new RegExp(`^${token.split('*').map(escaped).join('.*')}$`)
  patterns.set(token, pattern)
  return pattern
}
const escaped = (text: string): string => text.replace(/[.+?^${}()|[\]\\]/g, '\\$&')

/** How closely a glob (`|` separates, `*` is a wildcard) names a key: 3 by name, 2 by a pattern, 1 by `*`, 0 not at all. */
export const globRank = (glob: string, key: string): 0 | 1 | 2 | 3 => {
  // "+withdrawal_feed" adds the last days of broilers, which is no flock key.
  const tokens = glob.split('|').map((token) => token.replace('+withdrawal_feed', '').trim())
  if (tokens.includes(key)) return 3
  if (tokens.some((token) => token !== '*' && token.includes('*') && patternOf(token).test(key))) return 2
  return tokens.includes('*') ? 1 : 0
}

const contestKey = (rule: SafetyRule): string => [rule.jurisdiction, rule.item, rule.operator, severityOf(rule), rule.scope].join(' ')

/**
 * The rules that hold for a stage: of those that contest the same thing (same item, side, severity and jurisdiction) the one that
 * names the flock most closely beats a wildcard; at the same rank all stay, so the stricter wins and both are shown.
 */
export const rulesForStage = (rules: readonly SafetyRule[], stage: string): SafetyRule[] => {
  const named = rules.map((rule) => ({ rule, rank: globRank(rule.flockGlob, stage) })).filter(({ rank }) => rank > 0)
  const best = new Map<string, number>()
  for (const { rule, rank } of named) best.set(contestKey(rule), Math.max(rank, best.get(contestKey(rule)) ?? 0))
  return named.filter(({ rule, rank }) => rank === best.get(contestKey(rule))).map(({ rule }) => rule)
}

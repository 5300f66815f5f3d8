import type { KnownBy } from '../composition/nutrients.js'
import { findingOf, type Finding, type FindingFacts } from './finding.js'
import { severityOf } from './precedence.js'
import type { SafetyRule } from './rows.js'

/** What is known of an amount: it lies between `low` and `high`; `high` null means that nobody knows how much it may be. */
export type Amount = {
  readonly low: number
  readonly high: number | null
  readonly unit: string
  readonly knownBy: KnownBy
  /** A strip showed the substance: it is `low` or more, so a maximum of `low` is broken already. */
  readonly seen?: true
}

/** Solved and rounded mixes touch their limits, so a limit is broken only by more than a millionth of it. */
const SLACK = 1e-6
const above = (value: number, limit: number): boolean => value > limit + SLACK * Math.max(1, Math.abs(limit))
const below = (value: number, limit: number): boolean => value < limit - SLACK * Math.max(1, Math.abs(limit))

/** Mould poisons are ruled in mg/kg here and ug/kg there. */
const unitFactor = (from: string, to: string): number => {
  if (from === to) return 1
  if (from === 'ug/kg' && to === 'mg/kg') return 0.001
  if (from === 'mg/kg' && to === 'ug/kg') return 1000
  throw new Error(`${from} cannot be compared with ${to}`)
}

type Limits = { readonly low?: number | undefined; readonly high?: number | undefined }
const limitsOf = ({ operator, low, high }: SafetyRule): Limits =>
  operator === '<=' ? { high } : operator === '>=' ? { low } : { low, high }

const limitView = ({ low, high }: Limits, unit: string): Finding['limit'] => {
  if (low !== undefined && high !== undefined)
    return low === high ? { value: low, unit, side: 'equal' } : { value: low, unit, side: 'range', high }
  if (high !== undefined) return { value: high, unit, side: 'max' }
  return low === undefined ? null : { value: low, unit, side: 'min' }
}

type Verdict = 'inside' | 'above' | 'below' | 'unknown' | 'seen'
const verdictOf = (low: number, high: number | null, limits: Limits, seen: boolean): Verdict => {
  if (seen && limits.high !== undefined && low >= limits.high) return 'seen'
  if (limits.high !== undefined && above(high ?? low, limits.high)) return 'above'
  if (limits.low !== undefined && below(low, limits.low)) return 'below'
  return limits.high !== undefined && high === null ? 'unknown' : 'inside'
}

const CODES: Readonly<Record<Verdict, string>> = {
  inside: 'inside-limit',
  above: 'above-limit',
  below: 'below-limit',
  unknown: 'not-known',
  seen: 'seen-by-strip',
}

/**
 * One amount against one rule. Unknown counts against: towards a minimum nothing, towards a maximum the worst case, and where there
 * is none the finding says unknown and warns. `scale` multiplies the rule's limit (a limit at another intake or moisture).
 */
export const checkAmount = (
  rule: SafetyRule,
  amount: Amount,
  appliesTo: string,
  more: { readonly facts?: FindingFacts; readonly scale?: number } = {},
): Finding => {
  const factor = unitFactor(amount.unit, rule.unit)
  const scale = more.scale ?? 1
  const printed = limitsOf(rule)
  const limits: Limits = {
    low: printed.low === undefined ? undefined : printed.low * scale,
    high: printed.high === undefined ? undefined : printed.high * scale,
  }
  const high = amount.high === null ? null : amount.high * factor
  const verdict = verdictOf(amount.low * factor, high, limits, amount.seen === true)
  const value = verdict === 'below' || limits.high === undefined ? amount.low * factor : (high ?? amount.low * factor)
  return findingOf(rule, {
    severity: verdict === 'inside' ? 'pass' : verdict === 'unknown' ? 'warn' : severityOf(rule),
    what: { code: CODES[verdict], facts: { item: rule.item, ...more.facts } },
    found: { value, unit: rule.unit, knownBy: verdict === 'unknown' ? 'unknown' : amount.knownBy },
    limit: limitView(limits, rule.unit),
    appliesTo,
  })
}

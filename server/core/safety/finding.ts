import type { KnownBy } from '../composition/nutrients.js'
import type { SafetyRule } from './rows.js'

export type Severity = 'pass' | 'warn' | 'block'
export type FindingFacts = Readonly<Record<string, string | number | boolean | null>>

/** What a safety check says: a code and flat facts, with the rule's source. Shaped as the contract's `Finding`. */
export type Finding = {
  readonly ruleId: string
  readonly severity: Severity
  readonly topic: string
  readonly what: { readonly code: string; readonly facts: FindingFacts }
  readonly found: { readonly value: number; readonly unit: string; readonly knownBy: KnownBy } | null
  readonly limit: {
    readonly value: number
    readonly unit: string
    readonly side: 'min' | 'max' | 'range' | 'equal'
    readonly high?: number
  } | null
  readonly source: { readonly key: string; readonly read: boolean; readonly jurisdiction: string }
  /** The stage, lot or feed that the rule was applied to. */
  readonly appliesTo: string
  readonly action: string
}

const RANK: Readonly<Record<Severity, number>> = { pass: 0, warn: 1, block: 2 }

export const worstSeverity = (findings: readonly Finding[]): Severity =>
  findings.reduce<Severity>((worst, { severity }) => (RANK[severity] > RANK[worst] ? severity : worst), 'pass')

/** Blocks first, then warnings, then what passed. */
export const worstFirst = (findings: readonly Finding[]): Finding[] => findings.toSorted((a, b) => RANK[b.severity] - RANK[a.severity])

type Parts = Pick<Finding, 'severity' | 'what' | 'appliesTo'> & Partial<Pick<Finding, 'found' | 'limit' | 'action' | 'topic'>>

/** A finding of a rule of the tables. */
export const findingOf = (rule: SafetyRule, parts: Parts): Finding => ({
  ruleId: rule.id,
  topic: rule.topic,
  found: null,
  limit: null,
  source: { key: rule.source, read: rule.read, jurisdiction: rule.jurisdiction },
  action: rule.action,
  ...parts,
})

/** A finding of Kinu's own rules of order (lot states, declared medicine), which no table holds. */
export const millFinding = (ruleId: string, topic: string, parts: Parts): Finding => ({
  ruleId,
  topic,
  found: null,
  limit: null,
  source: { key: 'mill-rule', read: true, jurisdiction: 'any' },
  action: '',
  ...parts,
})

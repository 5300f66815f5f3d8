import type { CheckContext } from './check-lot.js'
import type { FeedMedication } from './facts.js'
import { findingOf, millFinding, type Finding } from './finding.js'
import { activeKey, isForHens } from './medication.js'
import { globRank, ruleInForce } from './precedence.js'
import type { SafetyRule } from './rows.js'

/** A load that went through the same mixer before, oldest first. A flush is cleaning material, not feed. */
export type EarlierLoad = { readonly name: string; readonly medication: readonly FeedMedication[]; readonly isFlush: boolean }

const carryOverRule = (active: string, stage: string, { tables, settings }: CheckContext): SafetyRule | undefined =>
  tables.rules
    .filter((rule) => rule.topic === 'carry-over' && rule.scope === 'flock' && ruleInForce(rule, settings))
    .filter((rule) => activeKey(rule.item) === activeKey(active))
    .toSorted((a, b) => globRank(b.flockGlob, stage) - globRank(a.flockGlob, stage))
    .find((rule) => globRank(rule.flockGlob, stage) > 0)

const hensRule = ({ tables }: CheckContext): SafetyRule | undefined => tables.rules.find((rule) => rule.id === 'COC-GEN-01')

const finding = (load: EarlierLoad, active: string, stage: string, severity: 'warn' | 'block', context: CheckContext): Finding => {
  const rule = carryOverRule(active, stage, context) ?? (severity === 'block' ? hensRule(context) : undefined)
  const what = { code: 'after-medicated-load', facts: { active, load: load.name, stage, limitMgPerKg: rule?.high ?? null } }
  const parts = { severity, what, appliesTo: stage, topic: 'carry-over', action: 'flush' } as const
  return rule ? findingOf(rule, parts) : millFinding('CARRY-OVER', 'carry-over', parts)
}

/**
 * A load after medicated ones. Feed for hens needs a flush and a load free of medicine between; other feed without that medicine is
 * warned of until a flush. The load's own medicine carries over to nobody.
 */
export const checkCarryOver = (
  load: { readonly stage: string; readonly medication: readonly FeedMedication[] },
  earlier: readonly EarlierLoad[],
  context: CheckContext,
): Finding[] => {
  const own = new Set(load.medication.map(({ active }) => activeKey(active)))
  const hens = isForHens(load.stage, context)
  return earlier.flatMap((before, i) => {
    const since = earlier.slice(i + 1)
    const flushed = since.some(({ isFlush }) => isFlush)
    const clean = flushed && since.some(({ isFlush, medication }) => !isFlush && medication.length === 0)
    if (hens ? clean : flushed) return []
    return before.medication
      .filter(({ active }) => !own.has(activeKey(active)))
      .map(({ active }) => finding(before, active, load.stage, hens ? 'block' : 'warn', context))
  })
}

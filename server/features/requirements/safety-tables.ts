import { doseRuleOf } from '#core/safety/dose-table'
import type { SafetyRule, SafetyTables } from '#core/safety/rows'
import type { Db, Prisma, Tx } from '#platform/database/client'
import { keepReference } from '#platform/database/kept-reference'

const OPERATORS = ['<=', '>=', '==', 'in', 'not_with'] as const
const SCOPES = ['flock', 'ingredient_lot', 'premixture', 'process', 'label', 'combination'] as const
const SEVERITIES = ['warn', 'block'] as const

const oneOf = <W extends string>(allowed: readonly W[], word: string, what: string): W => {
  const known = allowed.find((candidate) => candidate === word)
  if (known === undefined) throw new Error(`${what}: "${word}" is none of ${allowed.join(', ')}`)
  return known
}

type RuleRow = Prisma.SafetyRuleGetPayload<object>
const ruleOf = (row: RuleRow): SafetyRule => ({
  id: row.id,
  topic: row.topic,
  protects: row.protects,
  itemType: row.itemType,
  item: row.item,
  operator: oneOf(OPERATORS, row.operator, row.id),
  limit: row.limitText,
  ...(row.limitLow === null ? {} : { low: row.limitLow }),
  ...(row.limitHigh === null ? {} : { high: row.limitHigh }),
  unit: row.unit,
  basis: row.basis,
  scope: oneOf(SCOPES, row.scope, row.id),
  flockGlob: row.flockGlob,
  appliesTo: row.appliesTo,
  condition: row.conditionNote,
  severity: oneOf(SEVERITIES, row.severity, row.id),
  action: row.action,
  jurisdiction: row.jurisdiction,
  source: row.source,
  read: row.seen === 'read',
  note: row.note,
})

export const loadSafetyRules = async (db: Db | Tx): Promise<SafetyRule[]> =>
  (await db.safetyRule.findMany({ orderBy: { id: 'asc' } })).map(ruleOf)

/** Everything the safety checks of core compare with. An active without doses (amprolium in the EU) allows nothing. */
export const loadSafetyTables: (db: Db | Tx) => Promise<SafetyTables> = keepReference(async (db) => {
  const rules = await loadSafetyRules(db)
  const rows = await db.coccidiostat.findMany({ where: { minMgPerKg: { not: '' } }, orderBy: { id: 'asc' } })
  return { rules, doses: rows.map((row) => doseRuleOf(row, rules)) }
})

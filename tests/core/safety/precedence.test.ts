import { describe, expect, it } from 'vitest'
import { fc, test } from '@fast-check/vitest'
import { checkAmount } from '#core/safety/limit-check'
import { globRank, ruleInForce, rulesForStage, severityOf } from '#core/safety/precedence'
import { isIngredientWord } from '#core/safety/ingredient-words'
import { isLotItem } from '#core/safety/hazards'
import { STAGES } from '#core/requirement/stages'
import { TABLES } from './builders.js'

const rule = (id: string) => {
  const found = TABLES.rules.find((candidate) => candidate.id === id)
  if (!found) throw new Error(`no rule ${id}`)
  return found
}
const RANK = { pass: 0, warn: 1, block: 2 }

describe('naming a flock', () => {
  it.each([
    ['layer_peak|layer_late', 'layer_peak', 3],
    ['layer_*|broiler_*', 'layer_peak', 2],
    ['*chick*|*starter*', 'broiler_pre_starter_0_1wk', 2],
    ['*', 'layer_peak', 1],
    ['turkey_grower_*', 'layer_peak', 0],
    ['', 'layer_peak', 0],
    ['layer_peak+withdrawal_feed', 'layer_peak', 3],
    ['layer_pea.', 'layer_peak', 0],
  ])('%s names %s with rank %i', (glob, key, rank) => {
    expect(globRank(glob, key)).toBe(rank)
  })
})

describe('precedence', () => {
  const inForce = (jurisdiction: string) => TABLES.rules.filter((candidate) => ruleInForce(candidate, { jurisdiction }))
  const aflatoxin = (jurisdiction: string, stage: string) =>
    rulesForStage(inForce(jurisdiction), stage)
      .filter(({ topic, scope }) => topic === 'aflatoxin' && scope === 'flock')
      .map(({ id }) => id)

  it('lets a rule that names the flock beat a wildcard', () => {
    // EU: B1 0.02 mg/kg named for adult poultry (AF-EU-03) beats 0.01 for "*" (AF-EU-04).
    expect(aflatoxin('EU', 'layer_peak')).toEqual(['AF-EU-03', 'AF-REC-03'])
    // AF-REC-02 names layer_grower_6_12wk, AF-REC-03 only as layer_*.
    expect(aflatoxin('any', 'layer_grower_6_12wk')).toEqual(['AF-REC-02'])
  })

  it('keeps both rules of the same rank, so that the stricter wins and both are shown', () => {
    // *chick* at 10 ug/kg and layer_* at 20 ug/kg both name chicks by a pattern.
    expect(aflatoxin('any', 'layer_chick_0_6wk')).toEqual(['AF-REC-02', 'AF-REC-03'])
  })

  it('switches on one jurisdiction and what holds anywhere', () => {
    expect(aflatoxin('Kenya', 'layer_peak')).toEqual(['AF-EA-01', 'AF-REC-03'])
    expect(inForce('Kenya').some(({ jurisdiction }) => jurisdiction === 'EU')).toBe(false)
  })

  it('only warns of a law that was not read, and keeps the severity of good practice', () => {
    expect(severityOf(rule('AF-IN-01'))).toBe('warn')
    expect(severityOf(rule('AF-EA-02'))).toBe('warn')
    expect(severityOf(rule('AF-EU-02'))).toBe('block')
    expect(rule('CA-02')).toMatchObject({ read: false, jurisdiction: 'any' })
    expect(severityOf(rule('CA-02'))).toBe('block')
  })
})

describe('the words of the tables', () => {
  it('are all understood where a rule is about ingredient lots that the mill tests', () => {
    const misunderstood = TABLES.rules
      .filter(({ scope, item }) => scope === 'ingredient_lot' && isLotItem(item))
      .filter(({ item, appliesTo }) => !isIngredientWord(item) && !isIngredientWord(appliesTo))
      .map(({ id }) => id)
    // Mature poultry: known at the mix only. Maize that might be sold as food: the mill sells none. Finished feed: checked as a mix.
    expect(misunderstood).toEqual(['AF-US-02', 'AF-EA-03', 'MOI-22', 'MOI-23'])
  })

  it('have a calcium maximum for every stage of young birds', () => {
    for (const stage of STAGES.filter((candidate) => !candidate.laying && candidate.id !== 'turkey_holding')) {
      const maxima = rulesForStage(TABLES.rules, stage.id).filter(
        ({ item, operator, severity }) => item === 'Ca' && operator === '<=' && severity === 'block',
      )
      expect(maxima.length, stage.id).toBeGreaterThan(0)
    }
  })
})

describe('an amount against a rule', () => {
  const amount = fc.record({
    low: fc.double({ min: 0, max: 5, noNaN: true }),
    more: fc.double({ min: 0, max: 5, noNaN: true }),
    unknown: fc.boolean(),
  })
  const toAmount = ({ low, more, unknown }: { low: number; more: number; unknown: boolean }) =>
    ({ low, high: unknown ? null : low + more, unit: '%', knownBy: 'book' }) as const
  const severity = (id: string, limit: { low?: number; high?: number }, entry: { low: number; more: number; unknown: boolean }) =>
    RANK[checkAmount({ ...rule(id), ...limit }, toAmount(entry), 'layer_peak').severity]
  const limits = fc.tuple(fc.double({ min: 0, max: 8, noNaN: true }), fc.double({ min: 0, max: 8, noNaN: true }))

  test.prop([amount, limits])('is never judged more mildly by a stricter maximum', (entry, [a, b]) => {
    const [strict, mild] = [Math.min(a, b), Math.max(a, b)]
    expect(severity('CA-02', { high: strict }, entry)).toBeGreaterThanOrEqual(severity('CA-02', { high: mild }, entry))
  })

  test.prop([amount, limits])('is never judged more mildly by a stricter minimum', (entry, [a, b]) => {
    const [mild, strict] = [Math.min(a, b), Math.max(a, b)]
    expect(severity('CA-05', { low: strict }, entry)).toBeGreaterThanOrEqual(severity('CA-05', { low: mild }, entry))
  })

  test.prop([amount])('is never judged more mildly when less is known', (entry) => {
    const known = severity('CA-05', {}, { ...entry, unknown: false })
    expect(severity('CA-05', {}, { ...entry, unknown: true })).toBeGreaterThanOrEqual(known)
  })

  it('compares mould poison in ug/kg with limits in mg/kg', () => {
    // AF-EU-02: B1 0.005 mg/kg = 5 ug/kg.
    const check = (value: number) => checkAmount(rule('AF-EU-02'), { low: value, high: value, unit: 'ug/kg', knownBy: 'measured' }, 'x')
    expect(check(5)).toMatchObject({ severity: 'pass', found: { value: 0.005, unit: 'mg/kg' } })
    expect(check(6)).toMatchObject({ severity: 'block', limit: { value: 0.005, unit: 'mg/kg', side: 'max' } })
  })
})

import { beforeAll, describe, expect, it } from 'vitest'
import { z } from 'zod'
import { MillView } from '#contract/mill'
import { CoccidiostatView, RequirementView, SafetyRuleView, StageView } from '#contract/requirements'
import { loadRequirements } from '#features/requirements/requirement-rows'
import { loadSafetyTables } from '#features/requirements/safety-tables'
import { readRequirements, readSafetyTables } from '#seed/reference-tables'
import { prepareMill } from '../../support/builders/mill.js'
import { openMill } from '../../support/mill.js'

const mill = await openMill()
beforeAll(() => prepareMill(mill.db))
const get = async (path: string, query: { [name: string]: string } = {}) => (await mill.as('nutritionist')).get(path, query)

describe('requirements and rules', () => {
  it('lists the limits of a stage, each with its source and whether it was read', async () => {
    const reply = await get('/requirements', { stage: 'layer_peak', nutrient: 'Ca', perPage: '200' })
    const rows = reply.as(z.array(RequirementView))
    expect(rows.length).toBe(readRequirements().filter(({ stage, nutrient }) => stage === 'layer_peak' && nutrient === 'Ca').length)
    for (const row of rows) expect(row.source).not.toBe('')
    // standards.README.md "Counts": 923 limits, 164 of them read
    expect((await get('/requirements')).total).toBe(923)
    expect((await get('/requirements', { seen: 'read' })).total).toBe(164)
  })

  it('gives core the same rows as the tables themselves', async () => {
    expect(await loadRequirements(mill.db, 'layer_peak')).toEqual(readRequirements().filter(({ stage }) => stage === 'layer_peak'))
    const [ours, tables] = [await loadSafetyTables(mill.db), readSafetyTables()]
    const byId = (a: { id: string }, b: { id: string }) => (a.id < b.id ? -1 : 1)
    expect(ours.rules.toSorted(byId)).toEqual(tables.rules.toSorted(byId))
    expect(ours.doses).toEqual(tables.doses)
  })

  it('names the stages with their weeks of age and the sets there are', async () => {
    const stages = (await get('/stages', { perPage: '200' })).as(z.array(StageView))
    const grower = stages.find(({ id }) => id === 'layer_grower_6_12wk')
    expect(grower).toMatchObject({ flockType: 'layer', fromWeek: 6, toWeek: 12, birdClass: 'grower' })
    expect(grower?.sources).toContain('REC')
  })

  it('says which rules are in force here', async () => {
    const rules = (await get('/safety-rules', { topic: 'aflatoxin', perPage: '200' })).as(z.array(SafetyRuleView))
    // safety_rules.csv: 19 rows about aflatoxin; this mill stands in Kenya
    expect(rules).toHaveLength(19)
    expect(rules.find(({ id }) => id === 'AF-REC-04')).toMatchObject({
      jurisdiction: 'any',
      inForceHere: true,
      severity: 'block',
      seen: 'memory',
    })
    expect(rules.find(({ id }) => id === 'AF-EU-01')).toMatchObject({ inForceHere: false })
  })

  it('lists the coccidiostats as printed', async () => {
    const reply = await get('/coccidiostats', { perPage: '200', jurisdiction: 'US' })
    const rows = reply.as(z.array(CoccidiostatView))
    expect(rows.find(({ active }) => active === 'narasin + nicarbazin')?.minMgPerKg).toContain('+')
    expect(rows.every(({ jurisdiction }) => jurisdiction === 'US')).toBe(true)
  })

  it('tells everyone who is signed in about the mill, members too, and nobody else', async () => {
    const facts = (await (await mill.as('member')).get('/mill')).as(MillView)
    expect(facts).toMatchObject({ name: 'Test Mill', currency: 'KES', bagKg: '50.000', jurisdiction: 'Kenya' })
    expect((await mill.anonymous().get('/mill')).status).toBe(401)
  })

  it.each([['/requirements'], ['/safety-rules'], ['/coccidiostats']])('keeps members out of %s', async (path) => {
    expect((await (await mill.as('member')).get(path)).status).toBe(403)
    expect((await get(path, { page: '0' })).status).toBe(400)
  })
})

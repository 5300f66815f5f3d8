import { describe, expect, it } from 'vitest'
import { checkCarryOver } from '#core/safety/carry-over'
import { activeKey, checkMedication } from '#core/safety/medication'
import { dosesInMix } from '#core/safety/mix-content'
import { blocks, context, factsOf } from './builders.js'

const check = (active: string, mgPerKg: number, stage: string, ageWeeks?: number, medicationJurisdiction = 'EU') =>
  checkMedication([{ active, mgPerKg }], { stage, ageWeeks }, context({ medicationJurisdiction }))

describe('a coccidiostat', () => {
  it('is allowed where a row allows it, with withdrawal and label duties as facts', () => {
    // coccidiostats.csv EU salinomycin sodium, chickens for fattening: 50-70 mg/kg, 0 days, equines and turkeys.
    const [found] = check('salinomycin', 60, 'broiler_starter_0_3wk')
    expect(found).toMatchObject({
      ruleId: 'COC-EU-12',
      severity: 'pass',
      what: { code: 'dose-allowed', facts: { withdrawalDays: 0, dangerousTo: 'equines, turkeys', avoidWith: 'tiamulin' } },
      limit: { value: 50, high: 70, side: 'range' },
      source: { key: 'EU2017_1914', read: true, jurisdiction: 'EU' },
    })
  })

  it.each([
    // COC-GEN-01: none for laying hens, nor before lay.
    ['salinomycin sodium', 60, 'layer_peak', undefined, 'EU', ['COC-GEN-01 not-for-laying-hens', 'COC-EU-12 not-for-this-flock']],
    ['monensin sodium', 100, 'pre_lay', undefined, 'EU', ['COC-GEN-01 not-for-laying-hens', 'COC-EU-01 not-for-this-flock']],
    ['salinomycin', 60, 'dual_purpose_layer', undefined, 'US', ['COC-GEN-01 not-for-laying-hens', 'COC-US-25 not-for-this-flock']],
    // COC-EU-13: reared for laying 50 mg/kg exactly, up to 12 weeks.
    ['salinomycin', 60, 'layer_grower_6_12wk', 10, 'EU', ['COC-EU-13 dose-outside']],
    ['salinomycin', 50, 'layer_grower_6_12wk', 13, 'EU', ['COC-EU-13 birds-too-old']],
    ['salinomycin', 50, 'layer_grower_6_12wk', 10, 'EU', []],
    // COC-EU-01: 100-125 mg/kg.
    ['monensin', 126, 'broiler_grower_3_6wk', undefined, 'EU', ['COC-EU-01 dose-outside']],
    ['monensin', 99, 'broiler_grower_3_6wk', undefined, 'EU', ['COC-EU-01 dose-outside']],
    // No row of ducks; no row of amprolium in the EU; no row of an antibiotic anywhere.
    ['monensin', 110, 'duck_grower_2_7wk', undefined, 'EU', ['COC-EU-01 not-for-this-flock']],
    ['amprolium', 125, 'broiler_grower_3_6wk', undefined, 'EU', ['MEDICINE-NO-RULE no-authorised-use']],
    ['tylosin', 40, 'broiler_grower_3_6wk', undefined, 'US', ['MEDICINE-NO-RULE no-authorised-use']],
    // COC-US-20: amprolium at 125.1 mg/kg is the one that laying chickens may eat.
    ['amprolium', 125.1, 'layer_peak', undefined, 'US', []],
    ['amprolium', 300, 'layer_peak', undefined, 'US', ['COC-GEN-01 not-for-laying-hens', 'COC-US-20 dose-outside']],
  ] as const)('%s at %d mg/kg for %s aged %s in %s: %j', (active, dose, stage, age, jurisdiction, expected) => {
    expect(blocks(check(active, dose, stage, age, jurisdiction))).toEqual(expected)
  })

  it('asks the age where the stage goes beyond the legal age', () => {
    // COC-EU-02: monensin up to 16 weeks; the stage runs from 12 to 18.
    expect(check('monensin', 110, 'layer_developer_12_18wk')[0]).toMatchObject({ severity: 'warn', what: { code: 'ask-age' } })
    expect(check('monensin', 110, 'layer_developer_12_18wk', 14)[0]?.severity).toBe('pass')
    expect(check('monensin', 110, 'layer_developer_12_18wk', 17)[0]?.severity).toBe('block')
  })

  it('only warns where the authorisation is remembered, not read', () => {
    // COC-EU-16: robenidine, from memory.
    expect(check('robenidine hydrochloride', 35, 'broiler_grower_3_6wk')[0]).toMatchObject({ severity: 'warn', source: { read: false } })
  })

  it('has no permission in a country without rows', () => {
    expect(blocks(check('salinomycin', 60, 'broiler_starter_0_3wk', undefined, 'Kenya'))).toEqual(['MEDICINE-NO-RULE no-authorised-use'])
  })

  it('may stand with another only as an authorised combination', () => {
    const both = (a: number, b: number, second: string) =>
      blocks(
        checkMedication(
          [
            { active: 'narasin', mgPerKg: a },
            { active: second, mgPerKg: b },
          ],
          { stage: 'broiler_starter_0_3wk' },
          context({ jurisdiction: 'EU' }),
        ),
      )
    // COC-EU-07: narasin + nicarbazin 40+40 to 50+50 mg/kg; COC-GEN-05: one coccidiostat otherwise.
    expect(both(45, 45, 'nicarbazin')).toEqual([])
    expect(both(45, 60, 'nicarbazin')).toEqual(['COC-EU-07 dose-outside'])
    expect(both(65, 60, 'salinomycin')).toContain('COC-GEN-05 several-coccidiostats')
  })

  it('is the same with and without its salt', () => {
    expect(activeKey('Salinomycin sodium')).toBe(activeKey('salinomycin'))
    expect(activeKey('nicarbazin + narasin')).toBe(activeKey('narasin + nicarbazin'))
    expect(activeKey('narasin')).not.toBe(activeKey('narasin + nicarbazin'))
  })
})

describe('a dose from the strength of the product', () => {
  const premix = factsOf('premix_generic', [], { medication: { active: 'salinomycin sodium', strengthPct: 12 } })

  it('is 60 mg/kg for 500 g of 12 % a tonne, and for 35 g in 70 kg (from memory)', () => {
    const dose = (premixKg: number, totalKg: number) =>
      dosesInMix([
        { lot: premix, kg: premixKg },
        { lot: factsOf('maize_yellow'), kg: totalKg - premixKg },
      ])
    expect(dose(0.5, 1000)[0]?.mgPerKg).toBeCloseTo(60, 10)
    expect(dose(0.035, 70)[0]?.mgPerKg).toBeCloseTo(60, 10)
  })

  it('adds up over lots of the same active', () => {
    const other = factsOf('premix_generic', [], { medication: { active: 'salinomycin', strengthPct: 6 } })
    const doses = dosesInMix([
      { lot: premix, kg: 0.25 },
      { lot: other, kg: 0.5 },
      { lot: factsOf('maize_yellow'), kg: 999.25 },
    ])
    expect(doses).toHaveLength(1)
    expect(doses[0]?.mgPerKg).toBeCloseTo(60, 10)
  })
})

describe('a load after a medicated one', () => {
  const medicated = { name: '41', medication: [{ active: 'salinomycin sodium', mgPerKg: 60 }], isFlush: false }
  const flush = { name: '42', medication: [], isFlush: true }
  const plain = { name: '43', medication: [], isFlush: false }
  const hens = { stage: 'layer_peak', medication: [] }

  it('needs a flush and a load free of medicine before feed for hens', () => {
    expect(blocks(checkCarryOver(hens, [medicated], context()))).toEqual(['COC-GEN-01 after-medicated-load'])
    expect(blocks(checkCarryOver(hens, [medicated, flush], context()))).toHaveLength(1)
    expect(blocks(checkCarryOver(hens, [medicated, plain], context()))).toHaveLength(1)
    expect(checkCarryOver(hens, [medicated, flush, plain], context())).toEqual([])
  })

  it('names the European carry-over limit of that medicine', () => {
    // CARRY-SALIN-LAY: 0.7 mg/kg for hens, read.
    expect(checkCarryOver(hens, [medicated], context({ jurisdiction: 'EU' }))[0]).toMatchObject({
      ruleId: 'CARRY-SALIN-LAY',
      what: { facts: { limitMgPerKg: 0.7 } },
    })
  })

  it('only warns for other birds, and says nothing about the same medicine', () => {
    const broilers = { stage: 'broiler_finisher_6_8wk', medication: [] }
    expect(checkCarryOver(broilers, [medicated], context()).map(({ severity }) => severity)).toEqual(['warn'])
    expect(checkCarryOver(broilers, [medicated, flush], context())).toEqual([])
    expect(checkCarryOver({ stage: 'broiler_starter_0_3wk', medication: medicated.medication }, [medicated], context())).toEqual([])
  })
})

import { describe, expect, it } from 'vitest'
import { checkLot, checkLotUse } from '#core/safety/check-lot'
import { anAssay } from '../composition/builders.js'
import { blocks, context, factsOf, finding, ON } from './builders.js'

describe('a lot before its release', () => {
  it.each([
    // MOI-01: maize grain at most 13.5 %; MOI-15: fish at most 10 %.
    ['maize_yellow', 13.5, 'MOI-01', 'pass'],
    ['maize_yellow', 14.1, 'MOI-01', 'block'],
    ['omena_dagaa_meal', 9.5, 'MOI-15', 'pass'],
    ['omena_dagaa_meal', 11, 'MOI-15', 'block'],
    // MOI-20 only warns of mineral above 5 %.
    ['limestone', 6, 'MOI-20', 'warn'],
  ])('%s of %d %% moisture: %s %s', (key, moisture, ruleId, severity) => {
    expect(finding(checkLot(factsOf(key, [anAssay('moisture', moisture)]), context()), ruleId)?.severity).toBe(severity)
  })

  it('blocks maize above 20 ug/kg of aflatoxin, with source and limit', () => {
    // AF-REC-04, jurisdiction any, recommended default from memory.
    const found = finding(checkLot(factsOf('maize_yellow', [anAssay('aflatoxin_total', 26)]), context()), 'AF-REC-04')
    expect(found).toMatchObject({
      severity: 'block',
      found: { value: 26, unit: 'ug/kg', knownBy: 'measured' },
      limit: { value: 20, unit: 'ug/kg', side: 'max' },
      source: { key: 'REC', read: false, jurisdiction: 'any' },
    })
  })

  it('counts B1 towards the total, which may be more', () => {
    const check = (b1: number) => finding(checkLot(factsOf('maize_yellow', [anAssay('aflatoxin_B1', b1)]), context()), 'AF-REC-04')
    expect(check(25)?.severity).toBe('block')
    expect(check(5)).toMatchObject({ severity: 'warn', what: { code: 'not-known' }, found: { knownBy: 'unknown' } })
  })

  it('takes the total as the most that B1 can be', () => {
    // AF-EU-01: B1 at most 0.02 mg/kg at 12 % moisture in any feed material.
    const check = (total: number) =>
      finding(checkLot(factsOf('maize_yellow', [anAssay('aflatoxin_total', total)]), context({ jurisdiction: 'EU' })), 'AF-EU-01')
    expect(check(15)?.severity).toBe('pass')
    expect(check(30)?.severity).toBe('block')
  })

  it('reads European limits at 12 % moisture', () => {
    // At 86 % dry matter 0.02 mg/kg is 0.02 x 86 / 88 = 0.01955 mg/kg as-fed.
    const assays = [anAssay('moisture', 14), anAssay('aflatoxin_B1', 19.8)]
    const found = finding(checkLot(factsOf('maize_yellow', assays), context({ jurisdiction: 'EU' })), 'AF-EU-01')
    expect(found).toMatchObject({ severity: 'block', limit: { value: expect.closeTo(0.0195454, 6) } })
  })

  it('shows an untested mould poison as unknown without blocking, outside the required matrix', () => {
    expect(finding(checkLot(factsOf('maize_yellow'), context()), 'AF-REC-04')).toMatchObject({
      severity: 'warn',
      what: { code: 'not-tested' },
      found: null,
    })
  })

  it('blocks groundnut cake until it is tested (ingredients.csv: "test every lot")', () => {
    expect(finding(checkLot(factsOf('groundnut_cake_expeller'), context()), 'AF-REC-04')).toMatchObject({
      severity: 'block',
      what: { code: 'required-test-missing' },
    })
  })

  it('asks for no mould poison in minerals', () => {
    expect(
      checkLot(factsOf('limestone', [anAssay('moisture', 1)]), context({ jurisdiction: 'EU' })).filter(
        ({ topic }) => topic === 'aflatoxin',
      ),
    ).toEqual([])
  })

  it('keeps cottonseed to its own American limit', () => {
    // AF-US-03: 300 ug/kg cottonseed meal; AF-US-01: 20 ug/kg other feeds for young birds and unknown use.
    const check = (key: string) =>
      checkLot(factsOf(key, [anAssay('aflatoxin_total', 100)]), context({ jurisdiction: 'US' })).map(({ ruleId }) => ruleId)
    expect(check('cottonseed_cake_decorticated')).toContain('AF-US-03')
    expect(check('cottonseed_cake_decorticated')).not.toContain('AF-US-01')
    expect(check('maize_yellow')).toContain('AF-US-01')
  })

  it('blocks urea, warns of sand and salt in fish', () => {
    // NPN-01: no urea; FISH-06: sand at most 4 %; NA-05: salt at most 3 %, 1.82 % chloride.
    const findings = checkLot(factsOf('omena_dagaa_meal', [anAssay('urea', 1), anAssay('AIA', 6), anAssay('Cl', 2)]), context())
    expect(finding(findings, 'NPN-01')).toMatchObject({ severity: 'block', what: { code: 'urea-found' } })
    expect(finding(findings, 'FISH-06')).toMatchObject({ severity: 'warn', found: { value: 6 } })
    expect(finding(findings, 'NA-05')).toMatchObject({ severity: 'warn', found: { value: expect.closeTo(3.297, 3), unit: '%' } })
    expect(findings[0]?.severity).toBe('block')
  })

  it('warns of a premix that does not declare its medicine', () => {
    const premix = factsOf('premix_generic', [], { medicationDeclared: false })
    expect(finding(checkLot(premix, context()), 'MEDICINE-DECLARED')?.severity).toBe('warn')
  })
})

describe('a lot in a load', () => {
  it.each(['on-hold', 'rejected', 'used-up'] as const)('is blocked when %s', (status) => {
    expect(blocks(checkLotUse(factsOf('maize_yellow', [], { status }), ON))).toEqual(['LOT-STATUS lot-not-released'])
  })

  it('is blocked the day after its last day', () => {
    expect(blocks(checkLotUse(factsOf('maize_yellow', [], { expiresOn: '2026-08-03' }), ON))).toEqual(['LOT-EXPIRED lot-expired'])
    expect(checkLotUse(factsOf('maize_yellow', [], { expiresOn: ON }), ON)).toEqual([])
  })
})

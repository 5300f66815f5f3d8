import { describe, expect, it } from 'vitest'
import { fc, test } from '@fast-check/vitest'
import { checkBatch, checkMix, type MixFacts } from '#core/safety/check-mix'
import { worstSeverity } from '#core/safety/finding'
import { nutrientInMix, type MixPart } from '#core/safety/mix-content'
import { anAssay } from '../composition/builders.js'
import { blocks, context, factsOf, finding, layerMash, WORST } from './builders.js'

const check = (facts: Partial<MixFacts> = {}) => checkMix({ stage: 'layer_peak', medication: [], mix: layerMash(), ...facts }, context())
const maizeWith = (assays: ReturnType<typeof anAssay>[]): MixPart[] => [
  { lot: factsOf('maize_yellow', assays), kg: 600 },
  ...layerMash().slice(1),
]

describe('a mix for growing birds', () => {
  it.each([
    ['broiler-breeder', 10, 'broiler_breeder_hen'],
    ['duck', 10, 'duck_breeder'],
    ['quail', 3, 'quail_layer'],
  ] as const)('with the calcium of layers is blocked for %ss of %i weeks', (flockType, ageWeeks, stage) => {
    const findings = check({ stage, flock: { flockType, ageWeeks, laying: false } })
    // CA-02: at most 1.5 % for growing birds.
    expect(finding(findings, 'CA-02')).toMatchObject({ severity: 'block', what: { code: 'above-limit' }, limit: { value: 1.5 } })
  })
})

describe('a mix for hens', () => {
  it('passes when all is in order, and shows how each figure is known', () => {
    const findings = check()
    expect(worstSeverity(findings)).toBe('pass')
    // CA-05: at least 3.2 % calcium for layers.
    expect(finding(findings, 'CA-05')).toMatchObject({ severity: 'pass', limit: { value: 3.2, side: 'min' } })
    expect(finding(findings, 'CA-05')?.found?.value).toBeGreaterThan(3.2)
  })

  it('is blocked for pullets by the calcium maximum of growing birds', () => {
    // CA-02: at most 1.5 % for growing birds; CA-09: layer feed at most 2 weeks before the first egg.
    const flock = { flockType: 'layer', ageWeeks: 10, laying: false } as const
    expect(blocks(check({ flock }))).toContain('CA-02 above-limit')
    expect(blocks(check({ stage: 'layer_grower_6_12wk' }))).toContain('CA-02 above-limit')
    expect(blocks(check({ flock: { ...flock, ageWeeks: 19 } }))).toEqual([])
  })

  it('asks for more calcium of hens that eat less', () => {
    // CA-05: scale up by 100/intake, so 3.2 x 100 / 80 = 4.0 % at 80 g.
    const flock = { flockType: 'layer', ageWeeks: 30, laying: true, intakeG: 80 } as const
    expect(finding(check({ flock }), 'CA-05')).toMatchObject({ severity: 'block', limit: { value: 4 } })
  })

  it('is blocked above the aflatoxin limit of the bird class', () => {
    // AF-REC-03: 20 ug/kg for layers; 600 of 870 kg that can carry it at 40 ug/kg is 24 ug/kg of 1,000 kg.
    const findings = check({ mix: maizeWith([anAssay('aflatoxin_total', 40)]) })
    expect(finding(findings, 'AF-REC-03')).toMatchObject({ severity: 'block', limit: { value: 20, unit: 'ug/kg' } })
    expect(finding(findings, 'AF-REC-03')?.found?.value).toBeCloseTo((600 * 40 + 270 * 2) / 1000, 8)
  })

  it('says unknown, and how much of the mix is untested, instead of clean', () => {
    const found = finding(check({ mix: maizeWith([]) }), 'AF-REC-03')
    expect(found).toMatchObject({
      severity: 'warn',
      what: { code: 'not-known', facts: { untestedSharePct: expect.closeTo(60, 6) } },
      found: { knownBy: 'unknown' },
    })
  })

  it('blocks what the tested part alone breaks, however little is known of the rest', () => {
    const mix = [
      { lot: factsOf('soybean_meal_44'), kg: 270 },
      { lot: factsOf('maize_yellow', [anAssay('aflatoxin_total', 60)]), kg: 600 },
    ]
    expect(finding(check({ mix }), 'AF-REC-03')?.severity).toBe('block')
  })

  it('counts an unknown content as its worst case towards a maximum and nothing towards a minimum', () => {
    const limestone = factsOf('limestone')
    const blind = {
      ...limestone,
      composition: {
        ...limestone.composition,
        values: { ...limestone.composition.values, Na: { value: null, knownBy: 'unknown', from: [] } },
      },
    } as const
    const amount = nutrientInMix(
      [
        { lot: blind, kg: 1 },
        { lot: factsOf('maize_yellow'), kg: 1 },
      ],
      'Na',
      WORST,
    )
    const worstNa = WORST.get('mineral')?.Na?.value ?? Number.NaN
    expect(amount.low).toBeCloseTo(0.0022, 10)
    expect(amount.high).toBeCloseTo((worstNa + 0.0044) / 2, 10)
    expect(amount.knownBy).toBe('unknown')
  })

  it('warns of shares beyond good practice', () => {
    // FISH-01: fish meal at most 5 % for layers; GOS-REC-01: cottonseed cake at most 5 %.
    const mix = [...layerMash(), { lot: factsOf('omena_dagaa_meal', [anAssay('aflatoxin_total', 1)]), kg: 70 }]
    expect(finding(check({ mix }), 'FISH-01')).toMatchObject({ severity: 'warn', found: { value: expect.closeTo((100 * 70) / 1070, 8) } })
    expect(finding(check({ mix }), 'GOS-REC-01')?.severity).toBe('pass')
  })

  it('blocks too much and too little salt', () => {
    // NA-02: sodium at most 0.4 %; NA-04: at least 0.12 %.
    const salted = (kg: number) => layerMash().map((part) => (part.lot.composition.ingredientKey === 'salt' ? { ...part, kg } : part))
    expect(blocks(check({ mix: salted(14) }))).toContain('NA-02 above-limit')
    expect(blocks(check({ mix: salted(0) }))).toContain('NA-04 below-limit')
  })

  it('blocks lots that are not released, have expired or hold urea', () => {
    const bad = (more: object, assays = [anAssay('aflatoxin_total', 1)]): MixPart[] => [
      ...layerMash(),
      { lot: factsOf('maize_white', assays, more), kg: 10 },
    ]
    expect(blocks(check({ mix: bad({ status: 'rejected' }) }))).toEqual(['LOT-STATUS lot-not-released'])
    expect(blocks(check({ mix: bad({ expiresOn: '2026-01-01' }) }))).toEqual(['LOT-EXPIRED lot-expired'])
    expect(blocks(check({ mix: bad({}, [anAssay('aflatoxin_total', 1), anAssay('urea', 1)]) }))).toEqual(['NPN-01 urea-found'])
    expect(
      blocks(check({ mix: bad({ status: 'rejected' }).map((part) => (part.lot.status === 'rejected' ? { ...part, kg: 0 } : part)) })),
    ).toEqual([])
  })

  it('refuses a premix that does not declare its medicine', () => {
    const mix = layerMash().map((part) =>
      part.lot.composition.category === 'premix' ? { ...part, lot: { ...part.lot, medicationDeclared: false } } : part,
    )
    expect(blocks(check({ mix }))).toEqual(['MEDICINE-DECLARED medicine-not-declared-for-hens'])
  })

  it('says when no rule names the birds for mould poison', () => {
    expect(finding(check({ stage: 'quail_layer' }), 'NO-RULE')).toBeUndefined()
    const anyOnly = checkMix({ stage: 'pre_lay', medication: [], mix: layerMash() }, context({ jurisdiction: 'nowhere' }))
    expect(finding(anyOnly, 'NO-RULE')).toMatchObject({ severity: 'warn', what: { code: 'no-rule-for-these-birds' } })
  })

  test.prop([fc.double({ min: 0, max: 150, noNaN: true }), fc.double({ min: 0, max: 150, noNaN: true })])(
    'is never judged more mildly for more limestone, as feed for pullets',
    (a, b) => {
      const rank = { pass: 0, warn: 1, block: 2 }
      const judged = (kg: number) => {
        const mix = layerMash().map((part) => (part.lot.composition.ingredientKey === 'limestone' ? { ...part, kg } : part))
        return rank[finding(check({ stage: 'layer_grower_6_12wk', mix }), 'CA-02')?.severity ?? 'pass']
      }
      expect(judged(Math.max(a, b))).toBeGreaterThanOrEqual(judged(Math.min(a, b)))
    },
  )
})

describe('a medicated mix', () => {
  const medicine = factsOf('premix_generic', [], { name: 'coccidiostat', medication: { active: 'salinomycin sodium', strengthPct: 12 } })
  const broilerMix = (medicineKg: number): MixPart[] => [
    ...layerMash().map((part) => (part.lot.composition.ingredientKey === 'limestone' ? { ...part, kg: 12 } : part)),
    { lot: medicine, kg: medicineKg },
  ]
  const formula = [{ active: 'salinomycin', mgPerKg: 60 }]
  const broilers = (facts: Partial<MixFacts>) =>
    check({ stage: 'broiler_starter_0_3wk', medication: formula, mix: broilerMix(0.46), ...facts })

  it('passes when the dose is the one of the formula and a row allows it', () => {
    // 0.46 kg x 12 % in 920.46 kg is 59.97 mg/kg.
    const findings = broilers({})
    expect(blocks(findings)).toEqual([])
    expect(finding(findings, 'MEDICINE-DOSE')).toMatchObject({ severity: 'pass', found: { value: expect.closeTo(59.97, 2) } })
    expect(finding(findings, 'COC-EU-12')?.severity).toBe('pass')
  })

  it.each([
    [0.6, formula, 'dose-not-as-formula'],
    [0, formula, 'medicine-missing'],
    [0.46, [], 'medicine-not-in-formula'],
  ])('of %d kg premix for a formula of %j is blocked: %s', (kg, medication, code) => {
    expect(blocks(broilers({ mix: broilerMix(kg), medication }))).toContain(`MEDICINE-DOSE ${code}`)
  })

  it('never goes to hens', () => {
    expect(blocks(check({ medication: formula, mix: [...layerMash(), { lot: medicine, kg: 0.5 }] }))).toContain(
      'COC-GEN-01 not-for-laying-hens',
    )
    const hens = { flockType: 'layer', ageWeeks: 40, laying: true } as const
    expect(blocks(broilers({ flock: hens }))).toContain('COC-GEN-01 not-for-laying-hens')
  })

  it("is followed by hens' feed only after a flush and a drug-free load", () => {
    const facts = { stage: 'layer_peak', medication: [], mix: layerMash() }
    const earlier = [{ name: '41', medication: formula, isFlush: false }]
    expect(blocks(checkBatch(facts, earlier, context()))).toEqual(['COC-GEN-01 after-medicated-load'])
    expect(blocks(checkBatch(facts, [], context()))).toEqual([])
  })
})

describe('an empty mix', () => {
  it('has nothing to find', () => {
    expect(checkMix({ stage: 'layer_peak', medication: [], mix: [] }, context())).toEqual([])
  })
})

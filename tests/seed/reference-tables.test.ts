import { describe, expect, it } from 'vitest'
import {
  readCoccidiostats,
  readIngredients,
  readMicronutrients,
  readMillPractice,
  readRequirements,
  readSafetyRules,
  readSources,
} from '#seed/reference-tables'

const ingredients = readIngredients()
const valueOf = (key: string, nutrient: string) =>
  ingredients.find((ingredient) => ingredient.key === key)?.book.find((value) => value.nutrient === nutrient)

describe('the reference tables', () => {
  // Counts: seed/reference/standards.README.md "Counts", ingredients.README.md "Files".
  it('holds every row of the published tables', () => {
    expect(ingredients).toHaveLength(87)
    expect(readRequirements()).toHaveLength(923)
    expect(readMicronutrients()).toHaveLength(651)
    expect(readSafetyRules()).toHaveLength(262)
    expect(readMillPractice()).toHaveLength(173)
    // 33 rows, of which amprolium in the EU allows nothing.
    expect(readCoccidiostats()).toHaveLength(32)
  })

  it('keeps whether a requirement was read or remembered', () => {
    // standards.README.md "Counts": 164 read, 759 from memory.
    expect(readRequirements().filter((row) => row.read)).toHaveLength(164)
    expect(readRequirements().filter((row) => !row.read)).toHaveLength(759)
  })

  it('gives each value its source and how it is known', () => {
    // ingredients.provenance.csv: maize_yellow protein read, fibre from memory, ash calculated from a read figure.
    expect(valueOf('maize_yellow', 'CP')).toMatchObject({ value: 8.1, knownBy: 'book', source: 'KJPS-49-2-79-T1' })
    expect(valueOf('maize_yellow', 'CF')).toMatchObject({ value: 2.2, knownBy: 'memory', source: 'NRC1994 T9-2 from memory' })
    expect(valueOf('maize_yellow', 'ash')).toMatchObject({ value: 1.16, knownBy: 'book' })
  })

  it('leaves an empty cell unknown, never zero', () => {
    expect(valueOf('limestone', 'ash')).toBeUndefined()
    expect(valueOf('soybean_meal_44', 'xanthophylls')).toBeUndefined()
  })

  it('gives structural zeros their reason', () => {
    expect(valueOf('limestone', 'CP')).toMatchObject({ value: 0, knownBy: 'structural-zero' })
    expect(valueOf('vegetable_oil', 'Ca')?.knownBy).toBe('structural-zero')
    const zeros = ingredients.flatMap((ingredient) => ingredient.book).filter((value) => value.knownBy === 'structural-zero')
    expect(zeros.length).toBeGreaterThan(700)
    expect(zeros.every((zero) => zero.value === 0 && zero.source.includes('STRUCTURAL'))).toBe(true)
  })

  it('makes digestible amino acids from total and coefficient, known by the weaker of both', () => {
    // maize_yellow: lysine 0.24 % read, coefficient 79.7 % read; tryptophan coefficient from memory.
    expect(valueOf('maize_yellow', 'SID_Lys')).toMatchObject({ value: expect.closeTo(0.24 * 0.797, 12), knownBy: 'book' })
    expect(valueOf('maize_yellow', 'SID_Trp')?.knownBy).toBe('memory')
    expect(valueOf('limestone', 'SID_Lys')).toMatchObject({ value: 0, knownBy: 'structural-zero' })
  })

  it('prefers spreads between feeds to spreads between regions', () => {
    // nutrient_sd.csv: maize, USA origin, n = 251, coefficient of variation 5.25 %.
    expect(valueOf('maize_yellow', 'CP')?.sd).toBeCloseTo(8.1 * 0.0525, 10)
  })

  it('joins every authorised dose with the flocks of its rule', () => {
    const salinomycin = readCoccidiostats().find((dose) => dose.ruleId === 'COC-EU-13')
    expect(salinomycin).toMatchObject({ active: 'salinomycin sodium', maxAgeWeeks: 12, minMgPerKg: [50], mayFeedToLayingHens: false })
    expect(salinomycin?.flockGlob.split('|')).toContain('layer_chick_0_6wk')
    expect(readCoccidiostats().find((dose) => dose.active === 'narasin + nicarbazin')?.minMgPerKg).toEqual([40, 40])
  })

  it('has a readable title for the common sources', () => {
    const sources = readSources()
    for (const key of ['REC', 'NRC1994', 'NRC1994_MVM_BROILER', 'EU2002_32', 'KJPS-47-3-135-T5', 'CVB-P', 'IFCT2017', 'USDA-SR27']) {
      expect(sources.get(key), key).toBeTruthy()
    }
  })
})

import { describe, expect, it } from 'vitest'
import { requirementSet, requirementSetsOf } from '#core/requirement/requirement-set'
import { STAGES } from '#core/requirement/stages'
import { checkFormula, type FormulaFacts } from '#core/safety/check-formula'
import { checkOrder } from '#core/safety/check-order'
import type { IngredientLimit, NutrientLimit } from '#core/formulation/limits'
import { readRequirements } from '#seed/reference-tables'
import { blocks, context, finding } from './builders.js'

const rows = readRequirements()
const limitsOf = (nutrients: readonly NutrientLimit[]) => ({ nutrients, ratios: [], ingredients: [], groups: [] })
const check = (stage: string, ...nutrients: NutrientLimit[]) =>
  checkFormula({ stage, limits: limitsOf(nutrients), medication: [] }, context())
const layerFeed: FormulaFacts = { stage: 'layer_peak', limits: requirementSet(rows, 'layer_peak').limits, medication: [] }

describe('a formula', () => {
  it.each([
    // CA-01 warns above 1.2 % and CA-02 blocks above 1.5 % for growing birds; CA-03 blocks above 2.5 % before lay.
    ['layer_grower_6_12wk', { nutrient: 'Ca', min: 0.9, max: 1.1 }, []],
    ['layer_grower_6_12wk', { nutrient: 'Ca', min: 0.9, max: 3.9 }, ['CA-02 maximum-above-rule']],
    ['broiler_starter_0_3wk', { nutrient: 'Ca', min: 3.6 }, ['CA-02 minimum-above-rule']],
    ['pre_lay', { nutrient: 'Ca', min: 2, max: 2.6 }, ['CA-03 maximum-above-rule']],
    // CA-05: layers need 3.2 %.
    ['layer_peak', { nutrient: 'Ca', min: 0.9, max: 1.1 }, ['CA-05 maximum-below-rule']],
    // NA-02: sodium at most 0.4 %.
    ['layer_peak', { nutrient: 'Na', min: 0.16, max: 0.5 }, ['NA-02 maximum-above-rule']],
  ] as const)('for %s with %j: %j', (stage, limit, expected) => {
    expect(blocks(check(stage, limit))).toEqual(expected)
  })

  it('is warned of, not refused, where it sets no maximum', () => {
    expect(finding(check('layer_grower_6_12wk'), 'CA-02')).toMatchObject({
      severity: 'warn',
      what: { code: 'no-maximum-set' },
      found: null,
      limit: { value: 1.5 },
    })
  })

  it('made from a recommended set is never refused', () => {
    // standards.README.md, "Check made": no REC set and no NRC set is blocked.
    for (const { id } of STAGES) {
      for (const { source, referenceIntakeG } of requirementSetsOf(rows, id).filter((set) => /^(REC|NRC)/.test(set.source))) {
        const { limits } = requirementSet(rows, id, source, referenceIntakeG ?? undefined)
        expect(blocks(checkFormula({ stage: id, limits, medication: [] }, context())), `${id} ${source}`).toEqual([])
      }
    }
  })

  it('for hens with a coccidiostat is refused', () => {
    const medication = [{ active: 'salinomycin sodium', mgPerKg: 60 }]
    expect(blocks(checkFormula({ ...layerFeed, medication }, context()))).toContain('COC-GEN-01 not-for-laying-hens')
  })
})

describe('vitamins in a formula', () => {
  const warned = (...ingredients: IngredientLimit[]) =>
    finding(checkFormula({ stage: 'layer_peak', limits: { ...limitsOf([]), ingredients }, medication: [] }, context()), 'VITAMIN-SOURCE')

  it('are warned of where no premix must be in it, as common practice without a source', () => {
    const expected = { severity: 'warn', what: { code: 'no-vitamin-source' }, source: { key: 'practice', read: false } }
    expect(warned()).toMatchObject(expected)
    expect(warned({ ingredientId: 'premix_generic', maxPct: 0.5 })).toMatchObject(expected)
  })

  it('are seen to by a lowest share of a premix', () => {
    expect(warned({ ingredientId: 'premix_generic', minPct: 0.5, maxPct: 0.5 })).toBeUndefined()
  })
})

describe('an order', () => {
  const order = (ageWeeks: number, feed = layerFeed, laying = false) =>
    checkOrder(feed, { flockType: 'layer', ageWeeks, laying }, context())

  it('of layer feed for hens passes', () => {
    expect(order(30).filter(({ severity }) => severity !== 'pass')).toEqual([])
  })

  it('of layer feed for pullets is blocked by their age and by the calcium', () => {
    // CA-09: at most 2 weeks before the first egg (20 weeks: common practice, no source).
    expect(blocks(order(10))).toEqual(expect.arrayContaining(['CA-09 birds-too-young', 'CA-02 minimum-above-rule']))
    expect(finding(order(10), 'CA-09')).toMatchObject({ found: { value: 10, unit: 'weeks' }, limit: { value: 2 } })
    expect(blocks(order(17))).toContain('CA-09 birds-too-young')
    expect(blocks(order(18))).toEqual([])
  })

  it('of pre-lay feed is allowed from 16 weeks', () => {
    // CA-03: "use only from about 16 wk".
    const preLay = { stage: 'pre_lay', limits: requirementSet(rows, 'pre_lay').limits, medication: [] }
    expect(blocks(order(16, preLay))).toEqual([])
    expect(blocks(order(14, preLay))).toContain('CA-02 minimum-above-rule')
  })

  it('of grower feed for hens is blocked, because it can never hold their calcium', () => {
    const grower = { stage: 'layer_grower_6_12wk', limits: requirementSet(rows, 'layer_grower_6_12wk').limits, medication: [] }
    expect(blocks(order(40, grower, true))).toContain('CA-05 maximum-below-rule')
  })

  it('of medicated broiler feed for hens is blocked', () => {
    const broiler = {
      stage: 'broiler_starter_0_3wk',
      limits: requirementSet(rows, 'broiler_starter_0_3wk').limits,
      medication: [{ active: 'salinomycin sodium', mgPerKg: 60 }],
    }
    expect(blocks(order(40, broiler, true))).toContain('COC-GEN-01 not-for-laying-hens')
    expect(blocks(checkOrder(broiler, { flockType: 'broiler', ageWeeks: 1, laying: false }, context()))).toEqual([])
  })

  it('of feed for another age only warns where no rule forbids it', () => {
    const chick = { stage: 'layer_chick_0_6wk', limits: requirementSet(rows, 'layer_chick_0_6wk').limits, medication: [] }
    expect(order(8, chick).filter(({ severity }) => severity !== 'pass')).toMatchObject([{ ruleId: 'FEED-STAGE', severity: 'warn' }])
  })

  it('of medicated feed for birds of which no table has a stage is blocked, of other feed said to be made for others', () => {
    const starter = { stage: 'broiler_starter_0_3wk', limits: limitsOf([]), medication: [] }
    const medicated = { ...starter, medication: [{ active: 'salinomycin sodium', mgPerKg: 60 }] }
    // Breeders in rearing, and breeders in lay that nobody marked so.
    for (const ageWeeks of [10, 30]) {
      const breeders = { flockType: 'broiler-breeder', ageWeeks, laying: false } as const
      expect(blocks(checkOrder(medicated, breeders, context()))).toEqual(['MEDICINE-NO-RULE no-authorised-use'])
      expect(checkOrder(starter, breeders, context())).toMatchObject([{ ruleId: 'FEED-STAGE', severity: 'warn' }])
    }
  })

  // Stages and their calcium from requirements.csv: a layer feed of 3.5 to 4 % is right for hens; CA-02 lets growing birds have 1.5 %.
  it.each([
    ['broiler-breeder', 8],
    ['broiler-breeder', 21],
    ['duck', 1],
    ['duck', 10],
    ['duck', 21],
    ['quail', 1],
    ['quail', 3],
    ['turkey', 10],
    ['dual-purpose', 12],
  ] as const)('of layer feed for growing %ss of %i weeks is blocked, whichever laying birds it was made for', (flockType, ageWeeks) => {
    for (const stage of ['layer_peak', 'layer_late', 'dual_purpose_layer', 'broiler_breeder_hen', 'duck_breeder', 'quail_layer']) {
      const feed = { stage, limits: limitsOf([{ nutrient: 'Ca', min: 3.5, max: 4 }]), medication: [] }
      const found = blocks(checkOrder(feed, { flockType, ageWeeks, laying: false }, context()))
      expect(found, stage).toContain('CA-02 minimum-above-rule')
    }
  })

  it('of their own layer feed for breeders about to lay is not blocked by its calcium', () => {
    const feed = { stage: 'broiler_breeder_hen', limits: limitsOf([{ nutrient: 'Ca', min: 2.8, max: 3.2 }]), medication: [] }
    // CA-09: at most 2 weeks before the first egg (24 weeks: common practice, no source)
    for (const ageWeeks of [22, 26])
      expect(blocks(checkOrder(feed, { flockType: 'broiler-breeder', ageWeeks, laying: false }, context()))).toEqual([])
  })

  it('of pre-starter for broilers in their first week is theirs', () => {
    const preStarter = { stage: 'broiler_pre_starter_0_1wk', limits: limitsOf([]), medication: [] }
    expect(checkOrder(preStarter, { flockType: 'broiler', ageWeeks: 0, laying: false }, context())).toEqual([])
  })
})

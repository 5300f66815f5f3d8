import { describe, expect, it } from 'vitest'
import { limitOfOrigin, requirementSet, requirementSetsOf } from '#core/requirement/requirement-set'
import { ageOn, STAGES, stageForFlock, stageOf } from '#core/requirement/stages'
import { FLOCK_TYPES } from '#contract/members'
import { readRequirements } from '#seed/reference-tables'

const rows = readRequirements()
const limit = (set: ReturnType<typeof requirementSet>, nutrient: string) =>
  set.limits.nutrients.find((found) => found.nutrient === nutrient)

describe('a requirement set', () => {
  it('is the recommended one unless another is asked for, with the source of each limit', () => {
    // requirements.csv: layer_peak, REC, calcium 3.6 to 4.3 %, target 3.9, from memory.
    const set = requirementSet(rows, 'layer_peak')
    expect(limit(set, 'Ca')).toEqual({ nutrient: 'Ca', min: 3.6, max: 4.3 })
    expect(set.origins.find(({ nutrient }) => nutrient === 'Ca')).toMatchObject({ target: 3.9, source: 'REC', read: false, unit: '%' })
    expect(set.origins).toHaveLength(set.limits.nutrients.length)
  })

  it('names what it cannot compute instead of dropping it', () => {
    expect(requirementSet(rows, 'layer_peak').leftOut).toMatchObject([{ row: { nutrient: 'moisture' }, reason: 'not-computed' }])
  })

  it('turns daily amounts into per cent by the reference intake', () => {
    // requirements.csv: NRC1994_BROWN calcium 3.6 g a bird and day at 110 g: 3.27 %.
    expect(limit(requirementSet(rows, 'layer_peak', 'NRC1994_BROWN'), 'Ca')?.min).toBeCloseTo((3.6 / 110) * 100, 12)
    expect(limit(requirementSet(rows, 'layer_peak', 'NRC1994_BROWN', 100), 'Ca')?.min).toBeCloseTo(3.6, 12)
  })

  it('does not turn them without an intake', () => {
    const set = requirementSet(rows, 'broiler_breeder_hen', 'NRC1994')
    expect(set.limits.nutrients).toEqual([])
    expect(set.leftOut).toHaveLength(13)
    expect(set.leftOut.every(({ reason }) => reason === 'no-intake')).toBe(true)
  })

  it('keeps the three layer sets of NRC 1994 apart by intake', () => {
    const sets = requirementSetsOf(rows, 'layer_peak').filter(({ source }) => source === 'NRC1994')
    expect(sets.map(({ referenceIntakeG }) => referenceIntakeG).toSorted((a, b) => Number(a) - Number(b))).toEqual(
      [null, 80, 100, 120].slice(1),
    )
    // requirements.csv: protein 18.8, 15 and 12.5 % at 80, 100 and 120 g.
    expect([80, 100, 120].map((intakeG) => limit(requirementSet(rows, 'layer_peak', 'NRC1994', intakeG), 'CP')?.min)).toEqual([
      18.8, 15, 12.5,
    ])
    expect(limit(requirementSet(rows, 'layer_peak', 'NRC1994'), 'CP')?.min).toBe(15)
  })

  it('never mixes total and digestible amino acids', () => {
    const digestible = requirementSet(rows, 'layer_peak', 'ROSTAGNO2011').limits.nutrients.map(({ nutrient }) => nutrient)
    expect(digestible).toContain('SID_Lys')
    expect(digestible).not.toContain('Lys')
    // requirements.csv: ROSTAGNO2011 gives targets only.
    expect(requirementSet(rows, 'layer_peak', 'ROSTAGNO2011').origins.every(({ minFromTarget }) => minFromTarget)).toBe(true)
    expect(requirementSetsOf(rows, 'layer_peak').find(({ source }) => source === 'ROSTAGNO2011')?.aminoAcids).toBe('digestible')
    expect(requirementSetsOf(rows, 'layer_peak').find(({ source }) => source === 'REC')?.aminoAcids).toBe('total')
  })

  it('never has a minimum above its maximum', () => {
    for (const { id } of STAGES) {
      for (const { source, referenceIntakeG } of requirementSetsOf(rows, id)) {
        const { limits, origins } = requirementSet(rows, id, source, referenceIntakeG ?? undefined)
        const targets = origins.map((origin) => limitOfOrigin(origin, { kind: 'target' }))
        for (const { min, max } of [...limits.nutrients, ...targets]) expect(min ?? 0).toBeLessThanOrEqual(max ?? Infinity)
      }
    }
  })
})

describe('stages', () => {
  it('are those of the requirement table', () => {
    const inTable = new Set(rows.map(({ stage }) => stage))
    // dual_purpose_any is a note on intake, no stage.
    inTable.delete('dual_purpose_any')
    expect(new Set(STAGES.map(({ id }) => id))).toEqual(inTable)
  })

  it('cover the flock types of the contract', () => {
    expect(new Set(STAGES.map(({ flockType }) => flockType))).toEqual(new Set(FLOCK_TYPES))
  })

  it.each([
    ['layer', '2026-08-01', false, 'layer_chick_0_6wk'],
    ['layer', '2026-06-20', false, 'layer_grower_6_12wk'],
    ['layer', '2026-04-20', false, 'layer_developer_12_18wk'],
    ['layer', '2026-03-25', false, 'pre_lay'],
    ['layer', '2026-03-25', true, 'layer_peak'],
    ['layer', '2026-02-01', false, 'layer_peak'],
    ['layer', '2025-08-01', true, 'layer_late'],
    ['layer', '2026-07-30', true, 'layer_chick_0_6wk'],
    ['broiler', '2026-08-01', false, 'broiler_starter_0_3wk'],
    ['broiler', '2026-05-01', false, 'broiler_finisher_6_8wk'],
    ['dual-purpose', '2026-05-01', false, 'dual_purpose_grower_8_20wk'],
    ['turkey', '2025-06-01', false, 'turkey_holding'],
    ['turkey', '2025-06-01', true, 'turkey_breeder_hen'],
    ['quail', '2026-06-01', false, 'quail_layer'],
  ] as const)('%s hatched %s, laying %s, eats %s on 4 August 2026', (flockType, hatchedOn, laying, stage) => {
    expect(stageForFlock({ flockType, hatchedOn, laying, on: '2026-08-04' })?.id).toBe(stage)
  })

  it('knows no stage before hatching or for breeders in rearing', () => {
    expect(stageForFlock({ flockType: 'layer', hatchedOn: '2026-09-01', laying: false, on: '2026-08-04' })).toBeUndefined()
    expect(stageForFlock({ flockType: 'broiler-breeder', hatchedOn: '2026-06-01', laying: false, on: '2026-08-04' })).toBeUndefined()
  })

  it('counts whole weeks across a leap day', () => {
    expect(ageOn('2028-02-22', '2028-03-07')).toEqual({ weeks: 2, days: 14 })
    expect(stageOf('layer_chick_0_6wk')).toMatchObject({ fromWeek: 0, toWeek: 6, birdClass: 'chick', laying: false })
  })
})

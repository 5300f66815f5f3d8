import { describe, expect, test } from 'vitest'
import { mixConcentration, mixConcentrations } from '#core/formulation/concentration'
import { explainByPrice } from '#core/formulation/explain-limit'
import { formulate, type Formulation, type OptimalFormulation } from '#core/formulation/formulate'
import type { FormulaLimits } from '#core/formulation/limits'
import type { Contents, MixLot } from '#core/formulation/mix-lot'
import { mixProblem } from '#core/formulation/mix-problem'
import { bindingLimits, nutrientStates, partsOf } from '#core/formulation/mix-states'
import { describeRow } from '#core/formulation/row-id'
import { createGlpkSolver } from '#platform/solver/glpk'
import { growerLimits, growerLots } from './grower.js'

const glpk = await createGlpkSolver()
const none: FormulaLimits = { nutrients: [], ratios: [], ingredients: [], groups: [] }
const lot = (id: string, ingredientId: string, pricePerKg: number, contents: Contents, freeKg = 1000): MixLot => ({
  id,
  ingredientId,
  pricePerKg,
  freeKg,
  contents,
})

function optimum(found: Formulation): OptimalFormulation {
  if (found.status !== 'optimal') throw new Error(JSON.stringify(found))
  return found
}
const solve = (lots: readonly MixLot[], limits: FormulaLimits, batchKg = 100) =>
  formulate(mixProblem({ batchKg, lots, limits }).problem, glpk)

describe('a mix as orders solve it', () => {
  test('two feeds of 45 % and 8.23 % protein to 18 %: 26.6 kg and 73.4 kg in 100 kg (common practice, no source)', () => {
    const lots = [lot('soya', 'soya', 60, { CP: 45 }), lot('maize', 'maize', 30, { CP: 8.23 })]
    const { amounts } = optimum(solve(lots, { ...none, nutrients: [{ nutrient: 'CP', min: 18, max: 18 }] }))
    expect(amounts['soya']).toBeCloseTo((9.77 / 36.77) * 100, 9)
    expect(amounts['soya']?.toFixed(1)).toBe('26.6')
    expect(amounts['maize']?.toFixed(1)).toBe('73.4')
  })

  test('34 kg maize, 12 soya, 8 fish meal, 10 maize bran and 6 limestone hold 13.3 kg of protein, 19.0 %; 140 kg exactly twice (arithmetic only, common practice, no source)', () => {
    const parts = (
      [
        [34, 8.23],
        [12, 45],
        [8, 55],
        [10, 7],
        [6, 0],
      ] as const
    ).map(([kg, CP]) => ({ kg, contents: { CP } }))
    const proteinPct = mixConcentration(parts, 'CP').atLeast ?? Number.NaN
    expect(((proteinPct / 100) * 70).toFixed(1)).toBe('13.3')
    expect(proteinPct.toFixed(1)).toBe('19.0')
    const twice = parts.map((part) => ({ ...part, kg: part.kg * 2 }))
    expect(mixConcentration(twice, 'CP').atLeast).toBe(proteinPct)
    expect(((mixConcentration(twice, 'CP').atLeast ?? 0) / 100) * 140).toBe((proteinPct / 100) * 70 * 2)
  })

  test('costs the same as the reference case it is made from', () => {
    // seed/reference/cases/broiler-grower-14.json: 297.231282841 for 1,000 kg
    expect(optimum(solve(growerLots, growerLimits, 1000)).objective).toBeCloseTo(297.231282841, 6)
    expect(optimum(solve(growerLots, growerLimits, 500)).objective).toBeCloseTo(297.231282841 / 2, 6)
  })

  test('several lots of one ingredient share its limit, and a lot gives no more than is free', () => {
    const lots = [
      lot('m1', 'maize', 30, { CP: 8 }, 20),
      lot('m2', 'maize', 31, { CP: 8 }),
      lot('soya', 'soya', 60, { CP: 44 }),
      lot('bran', 'bran', 20, { CP: 14 }),
    ]
    const limits: FormulaLimits = {
      nutrients: [{ nutrient: 'CP', min: 16 }],
      ratios: [],
      ingredients: [{ ingredientId: 'maize', minPct: 40, maxPct: 60 }],
      groups: [{ id: 'cheap', ingredientIds: ['bran', 'maize'], maxPct: 80 }],
    }
    const found = optimum(solve(lots, limits))
    const maizeKg = (found.amounts['m1'] ?? 0) + (found.amounts['m2'] ?? 0)
    expect(found.amounts['m1']).toBeCloseTo(20, 9)
    expect(maizeKg).toBeGreaterThanOrEqual(40 - 1e-9)
    expect(maizeKg + (found.amounts['bran'] ?? 0)).toBeCloseTo(80, 9)
    const meanings = bindingLimits(found).map(({ meaning }) => meaning)
    expect(meanings).toContainEqual({ kind: 'stock', lotId: 'm1' })
    expect(meanings).toContainEqual({ kind: 'group', groupId: 'cheap', side: 'max' })
    // a kilogram more of the cheaper lot saves the difference of the two prices
    expect(bindingLimits(found).find(({ meaning }) => meaning.kind === 'stock')?.shadowPrice).toBeCloseTo(-1, 9)
  })

  test('a conflict is told in limits that people know', () => {
    const lots = [lot('m1', 'maize', 30, { CP: 8 }), lot('s1', 'soya', 60, { CP: 44 }, 10)]
    const found = solve(lots, { ...none, nutrients: [{ nutrient: 'CP', min: 18 }] })
    if (found.status !== 'infeasible') throw new Error(found.status)
    expect(found.conflict.map(describeRow)).toEqual([
      { kind: 'batch' },
      { kind: 'nutrient', nutrient: 'CP', side: 'min' },
      { kind: 'stock', lotId: 's1' },
    ])
    const premixMissing = solve(lots, { ...none, ingredients: [{ ingredientId: 'premix', minPct: 0.25, maxPct: 0.25 }] })
    expect(premixMissing).toEqual({ status: 'infeasible', conflict: ['linear:ingredient/premix/eq'] })
    expect(solve([], none)).toEqual({ status: 'infeasible', conflict: ['batch'] })
  })
})

describe('an unknown content', () => {
  const maize = lot('maize', 'maize', 30, { CP: 8, CF: 2, Ca: 0.03, avP: 0.1 })
  const soya = lot('soya', 'soya', 60, { CP: 44, CF: 6, Ca: 0.3, avP: 0.2 })

  test('is worth nothing towards a minimum', () => {
    const untested = lot('cake', 'cake', 1, { CP: { unknown: true } })
    const mix = mixProblem({ batchKg: 100, lots: [maize, soya, untested], limits: { ...none, nutrients: [{ nutrient: 'CP', min: 16 }] } })
    expect(mix.unknownUsed).toEqual([{ lotId: 'cake', nutrient: 'CP', towards: 'min', countedAs: 0 }])
    const { amounts } = optimum(formulate(mix.problem, glpk))
    const known = 8 * (amounts['maize'] ?? 0) + 44 * (amounts['soya'] ?? 0)
    expect(known / 100).toBeCloseTo(16, 8)
  })

  test('counts at its worst case towards a maximum, and leaves the lot out where there is none', () => {
    const limits: FormulaLimits = { ...none, nutrients: [{ nutrient: 'CF', max: 5 }] }
    const worst = lot('husk', 'husk', 1, { CF: { unknown: true, worstCaseMax: 50 } })
    const nowhere = lot('sweepings', 'sweepings', 0.5, {})
    const mix = mixProblem({ batchKg: 100, lots: [maize, worst, nowhere], limits })
    expect(mix.leftOut).toEqual([{ lotId: 'sweepings', nutrient: 'CF', reason: 'no-worst-case' }])
    const found = optimum(formulate(mix.problem, glpk))
    expect(found.amounts['husk']).toBeCloseTo(6.25, 8)
    expect(describeRow(found.binding.find((id) => id.startsWith('nutrient:')) ?? '')).toEqual({
      kind: 'nutrient',
      nutrient: 'CF',
      side: 'max',
    })
    const [state] = nutrientStates(found, [maize, worst], limits)
    expect(state).toMatchObject({ nutrient: 'CF', state: 'at-max', min: null, max: 5 })
    expect(state?.atMost).toBeCloseTo(5, 8)
    expect(state?.atLeast).toBeCloseTo(0.9375 * 2, 8)
    expect(state?.unknownPct).toBeCloseTo(6.25, 8)
  })

  test('of a ratio counts against both of its sides', () => {
    const limits: FormulaLimits = { ...none, ratios: [{ id: 'ca-avp', numerator: 'Ca', denominator: 'avP', min: 1, max: 3 }] }
    const untested = lot('bone', 'bone', 1, { Ca: 20, avP: { unknown: true } })
    expect(mixProblem({ batchKg: 100, lots: [maize, untested], limits }).leftOut).toEqual([
      { lotId: 'bone', nutrient: 'avP', reason: 'no-worst-case' },
    ])
    const bounded = { ...untested, contents: { Ca: 20, avP: { unknown: true, worstCaseMax: 12 } } as const }
    const mix = mixProblem({ batchKg: 100, lots: [maize, bounded], limits })
    expect(mix.unknownUsed.map(({ nutrient, towards, countedAs }) => [nutrient, towards, countedAs])).toEqual([
      ['avP', 'max', 12],
      ['avP', 'min', 0],
    ])
    const { atMost: calcium } = mixConcentration(partsOf(optimum(formulate(mix.problem, glpk)), [maize, bounded]), 'Ca')
    const { atLeast: surePhosphorus } = mixConcentration(partsOf(optimum(formulate(mix.problem, glpk)), [maize, bounded]), 'avP')
    expect((calcium ?? 0) / (surePhosphorus ?? 0)).toBeLessThanOrEqual(3 + 1e-6)
  })

  test('of something that can be negative is counted on neither side', () => {
    const limits: FormulaLimits = { ...none, nutrients: [{ nutrient: 'DEB', min: 200 }] }
    const mix = mixProblem({ batchKg: 100, lots: [maize, lot('gone', 'maize', 1, { DEB: 250 }, 0)], limits })
    expect(mix.leftOut).toEqual([
      { lotId: 'maize', nutrient: 'DEB', reason: 'unknown-either-side' },
      { lotId: 'gone', nutrient: null, reason: 'no-stock' },
    ])
  })
})

describe('the nutrients of a solved mix', () => {
  test('stand against their limits, and a binding one says what a sensible step of it costs', () => {
    const found = optimum(solve(growerLots, growerLimits, 1000))
    const states = nutrientStates(found, growerLots, growerLimits)
    const protein = states.find(({ nutrient }) => nutrient === 'CP')
    expect(protein).toMatchObject({ min: 19.5, max: 22, state: 'at-min', unknownPct: 0 })
    // shadow price of nutrient:cp:min in the reference case: 0.00786231840109 a unit; 0.1 % of a tonne is 100 units
    const { problem } = mixProblem({ batchKg: 1000, lots: growerLots, limits: growerLimits })
    const task = { problem, x: problem.ingredients.map(({ id }) => found.amounts[id] ?? 0), massKg: 1000 }
    const told = bindingLimits(found).map(({ id, shadowPrice }) => explainByPrice(task, id, shadowPrice))
    const eased = told.find((one) => one?.rowId === 'nutrient:CP:min')
    expect(eased).toMatchObject({ side: 'min', limit: 19.5, easedTo: 19.4 })
    expect(eased?.savesPerTonne).toBeCloseTo(0.786231840109, 8)
    expect(states.find(({ nutrient }) => nutrient === 'CF')).toMatchObject({ state: 'inside' })
    expect(told.some((one) => one?.rowId.startsWith('nutrient:CF'))).toBe(false)
    for (const { min, max, atLeast, atMost } of states) {
      expect(atLeast).toBeGreaterThanOrEqual((min ?? 0) * (1 - 1e-9))
      expect(atMost).toBeLessThanOrEqual((max ?? Infinity) * (1 + 1e-9))
    }
  })

  test('an empty mix has no concentration, rather than zero', () => {
    expect(mixConcentrations([], ['CP']).get('CP')).toEqual({ atLeast: null, atMost: null, unknownPct: 0 })
  })
})

test.each([
  ['batch', { kind: 'batch' }],
  ['nutrient:Ca:min', { kind: 'nutrient', nutrient: 'Ca', side: 'min' }],
  ['nutrient:Ca~worst:max', { kind: 'nutrient', nutrient: 'Ca', side: 'max' }],
  ['ratio:lys-energy:eq', { kind: 'ratio', ratioId: 'lys-energy', side: 'eq' }],
  ['ingredient:lot:7:max', { kind: 'stock', lotId: 'lot:7' }],
  ['ingredient:lot-7:min', { kind: 'lot', lotId: 'lot-7', side: 'min' }],
  ['linear:ingredient/fish/max', { kind: 'ingredient', ingredientId: 'fish', side: 'max' }],
  ['linear:group/a/b/min', { kind: 'group', groupId: 'a/b', side: 'min' }],
  ['linear:dairy', { kind: 'linear', linearId: 'dairy' }],
  ['nonsense', { kind: 'unknown', id: 'nonsense' }],
])('the row id %s is read back', (id, meaning) => {
  expect(describeRow(id)).toEqual(meaning)
})

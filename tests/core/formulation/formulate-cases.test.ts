import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import { formulaOfChance } from '#core/formulation/chance'
import { keeping } from '#core/formulation/conflict'
import { statementOf, type OptimalFormulation } from '#core/formulation/formulate'
import { integerProgramOf } from '#core/formulation/integer-program'
import { upperBoundsOf } from '#core/formulation/integer-bounds'
import { statementOfModel } from '#core/formulation/linear-model'
import type { Solver } from '#core/formulation/linear-program'
import { readMps } from '#core/formulation/mps'
import { statementOfMulti } from '#core/formulation/multi'
import { programOf } from '#core/formulation/program'
import { answerStated, type StatedAnswer, type StatedProblem } from '#core/formulation/stated-problem'
import type { Statement } from '#core/formulation/statement'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { readProblemFile } from '#platform/solver/problem-file'
import { simplexFirst } from '#platform/solver/simplex-first'
import { casePath, referenceCases, type Expected, type ReferenceCase } from './reference-cases.js'

const glpk = await createGlpkSolver()
const solvers: readonly Solver[] = [glpk, await createHighsSolver(), simplexFirst(glpk)]

/** Kinds that are a line of arithmetic and not a program: `pearson.test.ts` checks them. */
const ARITHMETIC = new Set(['pearson-square', 'pearson-fixed', 'pearson-double', 'dry-matter', 'scaling'])
const cases = referenceCases.filter((one) => !ARITHMETIC.has(one.kind))

function statedOf(one: ReferenceCase): StatedProblem {
  const file = readProblemFile(readFileSync(casePath(one.id), 'utf8'))
  if (file.kind !== 'problem') throw new Error(`${one.id}: ${JSON.stringify(file)}`)
  return file.stated
}

function modelOf(stated: Extract<StatedProblem, { kind: 'mps' }>): Statement {
  const reading = readMps(stated.problem)
  if (reading.kind === 'fault') throw new Error(reading.message)
  return statementOfModel(reading.model)
}

function statementFor(stated: StatedProblem): Statement {
  switch (stated.kind) {
    case 'formula':
    case 'parametric-price':
      return statementOf(stated.problem)
    case 'chance-constrained':
      return statementOf(formulaOfChance(stated.problem))
    case 'multi':
      return statementOfMulti(stated.problem)
    case 'lp':
      return statementOfModel(stated.problem.model)
    case 'mps':
      return modelOf(stated)
  }
}

/** The tolerance of each case is relative; a zero is compared absolutely, at the same share of the largest figure of its kind. */
function expectNear(actual: number | undefined, wanted: number, relative: number, size: number, what: string): void {
  const allowed = relative * Math.max(Math.abs(wanted), size * 1e-3)
  expect(Math.abs((actual ?? Number.NaN) - wanted), `${what}: ${actual} instead of ${wanted}`).toBeLessThanOrEqual(allowed)
}

function expectAll(
  actual: Readonly<Record<string, number>>,
  wanted: Readonly<Record<string, number>>,
  relative: number,
  what: string,
): void {
  const size = Math.max(1e-9, ...Object.values(wanted).map(Math.abs))
  for (const id of new Set([...Object.keys(actual), ...Object.keys(wanted)]))
    expectNear(actual[id] ?? 0, wanted[id] ?? 0, relative, size, `${what} of ${id}`)
}

/** Where a price differs to the left and to the right, either of them or any price between is right. */
function expectDuals(found: OptimalFormulation, wanted: Expected, relative: number): void {
  const sided = wanted.oneSidedShadowPrices ?? {}
  const prices = Object.entries(wanted.shadowPrices ?? {}).filter(([id]) => !(id in sided))
  if (wanted.dualsAgreeBetweenSolvers !== false && Object.keys(sided).length === 0) {
    expectAll(found.shadowPrices, wanted.shadowPrices ?? {}, relative, 'shadow price')
    expectAll(found.reducedCosts, wanted.reducedCosts ?? {}, relative, 'reduced cost')
  }
  for (const [id, price] of prices) expectNear(found.shadowPrices[id], price, relative, Math.abs(price), `shadow price of ${id}`)
  for (const [id, { decrease, increase }] of Object.entries(sided)) {
    if (typeof decrease !== 'number' || typeof increase !== 'number') continue
    const price = found.shadowPrices[id] ?? 0
    const slack = 1e-5 * Math.max(Math.abs(decrease), Math.abs(increase))
    expect(price, id).toBeGreaterThanOrEqual(Math.min(decrease, increase) - slack)
    expect(price, id).toBeLessThanOrEqual(Math.max(decrease, increase) + slack)
  }
}

function expectAmounts({ expected, tolerance, published }: ReferenceCase, found: OptimalFormulation): void {
  if (tolerance?.amountsAbsolute !== undefined)
    for (const [id, amount] of Object.entries(expected.amounts))
      expect(Math.abs((found.amounts[id] ?? Number.NaN) - amount), id).toBeLessThanOrEqual(tolerance.amountsAbsolute)
  for (const [id, [least, most]] of Object.entries(expected.amountRangesOverOptima ?? {})) {
    // printed with eight figures
    const slack = 1e-6 * Math.max(1, Math.abs(least), Math.abs(most))
    expect(found.amounts[id], id).toBeGreaterThanOrEqual(least - slack)
    expect(found.amounts[id], id).toBeLessThanOrEqual(most + slack)
  }
  if (!expected.amountsUnique) return
  expectAll(found.amounts, expected.amounts, tolerance?.amountsRelative ?? 0, 'amount')
  expect([...found.binding].sort()).toEqual([...expected.binding].sort())
  if (published?.objective !== undefined && published.objectiveTolerance !== undefined)
    expect(Math.abs(found.objective - published.objective), 'published').toBeLessThanOrEqual(published.objectiveTolerance)
}

function expectOptimum(one: ReferenceCase, statement: Statement, found: StatedAnswer): void {
  if (found.status !== 'optimal' || !one.tolerance) throw new Error(`${JSON.stringify(found)}, or a case without a tolerance`)
  expectNear(found.objective, one.expected.objective, one.tolerance.objectiveRelative, 0, 'objective')
  expect(statement.recheck(Object.values(found.amounts))).toEqual([])
  expectAmounts(one, found)
  if (found.search) {
    expect(found.search.proven).toBe(true)
    expect(found.search.bound).toBeLessThanOrEqual(found.objective)
    expectNear(found.search.bound, one.expected.objective, one.tolerance.objectiveRelative, 0, 'bound')
    expect([...found.binding].sort()).toEqual([...one.expected.binding].sort())
  } else if (one.expected.shadowPrices) expectDuals(found, one.expected, one.tolerance.shadowPricesRelative ?? 0)
}

function expectPrices({ expected, tolerance }: ReferenceCase, found: StatedAnswer): void {
  if (found.status !== 'priced') throw new Error(JSON.stringify(found))
  const { priceRelative = 0, amountRelative = 0 } = tolerance ?? {}
  const most = Math.max(...(expected.breakPoints ?? []).map((point) => point.amountBelow))
  for (const end of ['atLow', 'atHigh'] as const) {
    const wanted = expected[end]
    expectNear(found[end].price, wanted?.price ?? Number.NaN, 0, 0, end)
    expectNear(found[end].amount, wanted?.amount ?? Number.NaN, amountRelative, most, `amount ${end}`)
    expectNear(found[end].objective, wanted?.objective ?? Number.NaN, 1e-6, 0, `objective ${end}`)
  }
  expect(found.breakPoints.length).toBe(expected.breakPoints?.length)
  for (const [i, wanted] of (expected.breakPoints ?? []).entries()) {
    const point = found.breakPoints[i]
    expectNear(point?.price, wanted.price, priceRelative, 0, `price of break point ${i}`)
    expectNear(point?.amountBelow, wanted.amountBelow, amountRelative, most, `amount below break point ${i}`)
    expectNear(point?.amountAbove, wanted.amountAbove, amountRelative, most, `amount above break point ${i}`)
  }
}

/** Infeasible together, feasible without any one of them, by the other solver; and a set that the case lists, where it lists any. */
function expectIrreducible(one: ReferenceCase, { limits }: Statement, conflict: readonly string[], other: Solver): void {
  const held = (ids: readonly string[]) => {
    const kept = keeping(limits, new Set(ids))
    const bounds = upperBoundsOf(limits)
    return kept.choices?.length
      ? other.solveInteger(
          integerProgramOf(kept, (i) => bounds[i] ?? Number.NaN, { cost: false }),
          { timeLimitMs: 10_000, relativeGap: 0 },
        ).kind
      : other.solve(programOf(kept, { cost: false })).kind
  }
  expect(conflict.length).toBeGreaterThan(0)
  expect(held(conflict)).toBe('infeasible')
  for (const id of conflict) expect(['optimal', 'solved'], `without ${id}`).toContain(held(conflict.filter((kept) => kept !== id)))
  const listed = one.expected.minimalConflictSets?.map((set) => [...set].sort())
  if (listed) expect(listed).toContainEqual([...conflict].sort())
}

describe('the reference cases', () => {
  test('none is silently dropped', () => {
    const count = (kind: string) => cases.filter((one) => one.kind === kind).length
    const kinds = ['formula', 'multi', 'lp', 'mps', 'chance-constrained', 'parametric-price']
    expect(kinds.map(count)).toEqual([28, 1, 1, 14, 1, 2])
    expect(cases.length).toBe(47)
    expect(cases.filter((one) => one.expected.status === 'infeasible').length).toBe(6)
  })

  for (const solver of solvers) {
    // the hardest of them takes HiGHS seconds on a busy machine
    test.each(cases.map((one) => [one.id, one] as const))(`${solver.name}: %s`, { timeout: 60_000 }, (_, one) => {
      const stated = statedOf(one)
      const found = answerStated(stated, solver, { search: { timeLimitMs: 50_000 } })
      if (one.kind === 'parametric-price') return expectPrices(one, found)
      const statement = statementFor(stated)
      if (one.expected.status === 'optimal') return expectOptimum(one, statement, found)
      if (found.status !== 'infeasible') throw new Error(JSON.stringify(found))
      const other = solvers.find((candidate) => candidate !== solver)
      if (other) expectIrreducible(one, statement, found.conflict, other)
    })
  }

  test.each(cases.filter((one) => one.kind !== 'parametric-price').map((one) => [one.id, one] as const))(
    '%s: the two solvers agree on class and cost',
    { timeout: 60_000 },
    (_, one) => {
      const [first, second] = solvers.map((solver) => answerStated(statedOf(one), solver, { search: { timeLimitMs: 50_000 } }))
      expect(second?.status).toBe(first?.status)
      if (first?.status === 'optimal' && second?.status === 'optimal') expectNear(second.objective, first.objective, 1e-8, 0, 'objective')
    },
  )
})

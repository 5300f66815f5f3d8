import { describe, expect, test } from 'vitest'
import { formulate, type Formulation, type OptimalFormulation } from '#core/formulation/formulate'
import { limitsOf, programOf } from '#core/formulation/program'
import { supportOf } from '#core/formulation/problem'
import { recheck } from '#core/formulation/recheck'
import type { LinearSolver } from '#core/formulation/linear-program'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { referenceCases, type Expected, type ReferenceCase } from './reference-cases.js'

const solvers: readonly LinearSolver[] = [await createGlpkSolver(), await createHighsSolver()]
const formulas = referenceCases.filter((one) => one.kind === 'formula')
const supported = formulas.filter((one) => supportOf(one.problem).kind === 'supported')
const optimal = supported.filter((one) => one.expected.status === 'optimal')
const infeasible = supported.filter((one) => one.expected.status === 'infeasible')

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

function expectOptimum(one: ReferenceCase, found: Formulation): void {
  expect(found.status).toBe('optimal')
  if (found.status !== 'optimal' || !one.tolerance) throw new Error('not optimal, or a case without a tolerance')
  expectNear(found.objective, one.expected.objective, one.tolerance.objectiveRelative, 0, 'objective')
  expect(recheck(one.problem, Object.values(found.amounts))).toEqual([])
  if (one.expected.amountsUnique) {
    expectAll(found.amounts, one.expected.amounts, one.tolerance.amountsRelative, 'amount')
    expect([...found.binding].sort()).toEqual([...one.expected.binding].sort())
  }
  expectDuals(found, one.expected, one.tolerance.shadowPricesRelative)
}

function expectIrreducible(one: ReferenceCase, conflict: readonly string[], solver: LinearSolver): void {
  const limits = limitsOf(one.problem)
  const feasibleWith = (ids: readonly string[]) => {
    const kept = {
      costs: limits.costs,
      rows: limits.rows.filter((row) => ids.includes(row.id)),
      bounds: limits.bounds.filter((bound) => ids.includes(bound.id)),
    }
    return solver.solve(programOf(kept, { cost: false })).kind
  }
  expect(conflict.length).toBeGreaterThan(0)
  expect(feasibleWith(conflict)).toBe('infeasible')
  for (const id of conflict) expect(feasibleWith(conflict.filter((other) => other !== id)), `without ${id}`).toBe('optimal')
}

describe('the reference cases of one blend', () => {
  test('none is silently dropped: 21 of 28 are solved, the rest need whole amounts or logic', () => {
    expect([formulas.length, optimal.length, infeasible.length]).toEqual([28, 17, 4])
    expect(formulas.filter((one) => !supported.includes(one)).map((one) => one.id)).toEqual([
      'broiler-grower-at-most-6',
      'broiler-grower-bags',
      'broiler-grower-min-if-used',
      'meal-one-of-each-group-integer',
      'semicontinuous-integer',
      'semicontinuous-not-used',
      'semicontinuous-used',
    ])
    expect(optimal.filter((one) => one.expected.shadowPrices).length).toBe(17)
  })

  for (const solver of solvers) {
    test.each(optimal.map((one) => [one.id, one] as const))(`${solver.name}: %s`, (_, one) => {
      expectOptimum(one, formulate(one.problem, solver))
    })

    test.each(infeasible.map((one) => [one.id, one] as const))(`${solver.name}: %s names a true conflict`, (_, one) => {
      const found = formulate(one.problem, solver)
      expect(found.status).toBe('infeasible')
      const other = solvers.find((candidate) => candidate !== solver)
      if (found.status === 'infeasible' && other) expectIrreducible(one, found.conflict, other)
    })
  }
})

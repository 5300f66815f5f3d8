import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { Solver } from '#core/formulation/linear-program'
import type { FormulaProblem, ProblemIngredient, ProblemLogic } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { recheck } from '#core/formulation/recheck'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { drawsFrom } from './seeded-problems.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

/** A small blend of five ingredients with least uses and one rule of each kind in turn. */
function chosenBlend(seed: number): FormulaProblem {
  const draw = drawsFrom(7000 + seed)
  const ingredients = Array.from({ length: 5 }, (_, i): ProblemIngredient => ({
    id: `i${i}`,
    cost: draw.whole(10, 99),
    nutrients: { n0: draw.whole(0, 40), n1: draw.whole(0, 40) },
    minIfUsed: draw.whole(10, 40),
    ...(draw.chance(0.4) ? { max: draw.whole(45, 80) } : {}),
  }))
  const logic: readonly ProblemLogic[] = [
    { id: 'l', type: 'atMost', k: 2, items: ['i0', 'i1', 'i2', 'i3', 'i4'] },
    { id: 'l', type: 'atLeast', k: 4, items: ['i0', 'i1', 'i2', 'i3', 'i4'] },
    { id: 'l', type: 'eitherOr', items: ['i0', 'i1'] },
    { id: 'l', type: 'implies', if: 'i0', then: 'i4' },
  ]
  const rule = logic[seed % logic.length]
  return {
    batch: { size: 100, relation: '=' },
    ingredients,
    nutrients: [
      { id: 'n0', basis: 'concentration', min: draw.whole(8, 22) },
      { id: 'n1', basis: 'concentration', max: draw.whole(15, 35) },
    ],
    logic: rule ? [rule] : [],
  }
}

function allows(logic: ProblemLogic, used: ReadonlySet<string>): boolean {
  switch (logic.type) {
    case 'atMost':
      return logic.items.filter((id) => used.has(id)).length <= logic.k
    case 'atLeast':
      return logic.items.filter((id) => used.has(id)).length >= logic.k
    case 'eitherOr':
      return logic.items.filter((id) => used.has(id)).length === 1
    case 'implies':
      return !used.has(logic.if) || used.has(logic.then)
  }
}

/** The least cost over every set of ingredients that may be used, each by a linear solve: brute force, without one whole number. */
function bruteForce({ logic = [], ingredients, ...problem }: FormulaProblem): number {
  let least = Number.POSITIVE_INFINITY
  for (let mask = 0; mask < 2 ** ingredients.length; mask += 1) {
    const used = new Set(ingredients.filter((_, i) => (mask >> i) & 1).map(({ id }) => id))
    if (!logic.every((one) => allows(one, used))) continue
    const of = ingredients.map(({ minIfUsed = 0, ...one }) => (used.has(one.id) ? { ...one, min: minIfUsed } : { ...one, min: 0, max: 0 }))
    const outcome = highs.solve(programOf(limitsOf({ ...problem, ingredients: of })))
    if (outcome.kind === 'optimal') least = Math.min(least, outcome.objective)
  }
  return least
}

function expectLeast(problem: FormulaProblem, solver: Solver, least: number, name: string): void {
  const found = formulate(problem, solver)
  expect(found.status, `${name}: ${JSON.stringify(found)}`).toBe(Number.isFinite(least) ? 'optimal' : 'infeasible')
  if (found.status !== 'optimal') return
  expect(Math.abs(found.objective - least), name).toBeLessThanOrEqual(1e-6 * least)
  expect(recheck(problem, Object.values(found.amounts)), name).toEqual([])
  expect(found.search?.proven, name).toBe(true)
}

describe('least uses, counts, either-or and implications', { timeout: 300_000 }, () => {
  test.each([
    [glpk.name, glpk, 200],
    [highs.name, highs, 40],
  ] as const)('cost what brute force over every set of ingredients finds (%s)', (_, solver, count) => {
    const seen = { optimal: 0, infeasible: 0 }
    for (let seed = 0; seed < count; seed += 1) {
      const problem = chosenBlend(seed)
      const least = bruteForce(problem)
      expectLeast(problem, solver, least, `problem ${seed}`)
      seen[Number.isFinite(least) ? 'optimal' : 'infeasible'] += 1
    }
    expect(seen.optimal).toBeGreaterThan(count / 4)
    expect(seen.infeasible).toBeGreaterThan(1)
  })

  test('steps cost what counting through every number of bags finds', () => {
    for (let seed = 0; seed < 60; seed += 1) {
      const draw = drawsFrom(9000 + seed)
      const ingredient = (id: string): ProblemIngredient => ({
        id,
        cost: draw.whole(10, 99),
        nutrients: { n0: draw.whole(0, 40) },
        increment: 12.5,
      })
      const { increment: _step, ...free } = ingredient('c')
      const problem: FormulaProblem = {
        batch: { size: 100, relation: '=' },
        ingredients: [ingredient('a'), ingredient('b'), free],
        nutrients: [{ id: 'n0', basis: 'concentration', min: draw.whole(5, 25) }],
      }
      const amounts = Array.from({ length: 81 }, (_, i) => [12.5 * Math.floor(i / 9), 12.5 * (i % 9)] as const)
        .map(([a, b]) => [a, b, 100 - a - b])
        .filter((some) => some.every((amount) => amount >= 0) && recheck(problem, some).length === 0)
      const costs = amounts.map((some) => problem.ingredients.reduce((sum, { cost }, i) => sum + cost * (some[i] ?? 0), 0))
      for (const solver of [glpk, highs]) expectLeast(problem, solver, Math.min(...costs, Number.POSITIVE_INFINITY), `problem ${seed}`)
    }
  })
})

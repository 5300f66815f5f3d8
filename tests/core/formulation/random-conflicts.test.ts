import { describe, expect, test } from 'vitest'
import { keeping } from '#core/formulation/conflict'
import { formulate } from '#core/formulation/formulate'
import { upperBoundsOf } from '#core/formulation/integer-bounds'
import { integerProgramOf } from '#core/formulation/integer-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { drawsFrom, randomProblem } from './seeded-problems.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()

/** Whether some of a problem's limits can hold together, by the solver that did not find the conflict. */
function held(problem: FormulaProblem, ids: readonly string[]): string {
  const all = limitsOf(problem)
  const limits = keeping(all, new Set(ids))
  if (!limits.choices?.length) return highs.solve(programOf(limits, { cost: false })).kind
  const bounds = upperBoundsOf(all)
  const program = integerProgramOf(limits, (index) => 100 * (bounds[index] ?? Number.NaN), { cost: false })
  const { kind } = highs.solveInteger(program, { timeLimitMs: 20_000, relativeGap: 0 })
  return kind === 'solved' ? 'optimal' : kind
}

function expectConflict(problem: FormulaProblem, name: string): readonly string[] {
  const found = formulate(problem, glpk)
  if (found.status !== 'infeasible') throw new Error(`${name}: ${JSON.stringify(found)}`)
  expect(held(problem, found.conflict), `${name}: ${found.conflict.join()}`).toBe('infeasible')
  for (const id of found.conflict)
    expect(
      held(
        problem,
        found.conflict.filter((other) => other !== id),
      ),
      `${name} without ${id}`,
    ).toBe('optimal')
  return found.conflict
}

/** Few ingredients may be used, or only in steps too large, of a problem that could be met without that. */
function overChosen(seed: number): FormulaProblem {
  const draw = drawsFrom(seed)
  const size = 100
  const ingredients = Array.from({ length: draw.whole(3, 6) }, (_, i) => ({
    id: `i${i}`,
    cost: draw.whole(10, 90),
    nutrients: { n0: 10 * i + draw.whole(0, 5), n1: draw.whole(0, 40) },
    ...(seed % 3 === 0 ? { increment: 60 } : {}),
    ...(seed % 3 === 1 ? { minIfUsed: 55 } : {}),
  }))
  const middle = (ingredients.at(-1)?.nutrients.n0 ?? 0) * 0.43
  return {
    batch: { size, relation: '=' },
    ingredients,
    nutrients: [{ id: 'n0', basis: 'concentration', min: middle - 0.1, max: middle + 0.1 }],
    logic: seed % 3 === 2 ? [{ id: 'one', type: 'atMost', k: 1, items: ingredients.map(({ id }) => id) }] : [],
  }
}

describe('a conflict', { timeout: 300_000 }, () => {
  test('of 300 random problems that cannot be met is infeasible, and feasible without any one of its limits', () => {
    let sizes = 0
    for (let i = 0; i < 300; i += 1) sizes += expectConflict(randomProblem(5 * i + 1).problem, `problem ${5 * i + 1}`).length
    // two limits that contradict each other would be a poor test of the search
    expect(sizes / 300).toBeGreaterThan(2.5)
  })

  test('of 60 random problems that whole amounts, least uses or a count make impossible names them', () => {
    let chosen = 0
    for (let seed = 0; seed < 60; seed += 1) {
      const problem = overChosen(seed)
      const without = {
        ...problem,
        logic: [],
        ingredients: problem.ingredients.map(({ id, cost, nutrients }) => ({ id, cost, nutrients })),
      }
      if (formulate(problem, glpk).status === 'optimal') continue
      expect(formulate(without, glpk).status, `problem ${seed}`).toBe('optimal')
      const conflict = expectConflict(problem, `problem ${seed}`)
      expect(
        conflict.some((id) => /^(logic|increment|minIfUsed):/.test(id)),
        conflict.join(),
      ).toBe(true)
      chosen += 1
    }
    expect(chosen).toBeGreaterThan(30)
  })
})

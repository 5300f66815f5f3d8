import { afterAll, expect, test } from 'vitest'
import type { FormulaProblem } from '#core/formulation/problem'
import { createSolverPool } from '#platform/solver/pool'
import { readCase, type ReferenceCase } from '../../core/formulation/reference-cases.js'

const pool = createSolverPool({ threads: 2, deadlineMs: 1500 })
afterAll(() => pool.close())

const grower = readCase<ReferenceCase>('broiler-grower-14')

/** A dense problem far beyond what the deadline allows (every row cuts every ingredient; deterministic figures). */
function endlessProblem(size: number): FormulaProblem {
  const figure = (i: number, j: number) => 1 + ((i * 7919 + j * 104_729 + i * j * 31) % 997) / 100
  const nutrients = Array.from({ length: size }, (_, j) => ({ id: `n${j}`, min: 500, basis: 'total' as const }))
  const ingredients = Array.from({ length: size }, (_, i) => ({
    id: `i${i}`,
    cost: figure(i, 3),
    nutrients: Object.fromEntries(nutrients.map(({ id }, j) => [id, figure(i, j)])),
  }))
  return { ingredients, nutrients }
}

test('solves the same as in the process itself, many at once', async () => {
  const answers = await Promise.all(Array.from({ length: 40 }, () => pool.formulate(grower.problem)))
  for (const answer of answers) {
    expect(answer.status).toBe('optimal')
    if (answer.status === 'optimal') expect(answer.objective).toBeCloseTo(grower.expected.objective, 5)
  }
})

test('an infeasible problem is an answer that crosses the threads whole', async () => {
  const answer = await pool.formulate(readCase<ReferenceCase>('infeasible-three-rows-elastic').problem)
  expect(answer).toEqual({ status: 'infeasible', conflict: ['linear:c1', 'linear:c2', 'linear:c3'] })
})

test('ends a problem at its deadline, and goes on with the next', async () => {
  const [endless, meanwhile] = await Promise.all([pool.formulate(endlessProblem(1300)), pool.formulate(grower.problem)])
  expect(endless).toMatchObject({ status: 'failed', reason: 'time-limit' })
  expect(meanwhile.status).toBe('optimal')
  const after = await Promise.all(Array.from({ length: 8 }, () => pool.formulate(grower.problem)))
  expect(after.map((answer) => answer.status)).toEqual(Array(8).fill('optimal'))
})

test('says what it cannot solve instead of solving less', async () => {
  const open: FormulaProblem = { ingredients: [{ id: 'salt', cost: 1, minIfUsed: 3 }] }
  expect(await pool.formulate(open)).toEqual({ status: 'failed', reason: 'unsupported', detail: 'no upper bound for salt' })
})

test('a closed pool fails what it is given and harms nothing', async () => {
  const closed = createSolverPool({ threads: 1, deadlineMs: 500 })
  await closed.close()
  expect(await closed.formulate(grower.problem)).toMatchObject({ status: 'failed', reason: 'solver-error' })
})

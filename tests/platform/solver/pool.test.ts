import { afterAll, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import type { FormulaProblem } from '#core/formulation/problem'
import { createGlpkSolver } from '#platform/solver/glpk'
import { packProblem, unpackProblem } from '#platform/solver/packed-problem'
import { simplexFirst } from '#platform/solver/simplex-first'
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

/** Never solved within any deadline of these tests. */
const endless = endlessProblem(1300)

/** Two feeds of uncertain protein; with `z` the cheaper one gives way. */
const withSpreads = (z: number): FormulaProblem => ({
  batch: { size: 100, relation: '=' },
  ingredients: [
    { id: 'meal', cost: 90, nutrients: { CP: 44 }, spreads: { CP: { own: 1.1, shared: { book: 0.4 } } } },
    { id: 'bran', cost: 30, nutrients: { CP: 15 }, spreads: { CP: { own: 1.9 } } },
  ],
  nutrients: [{ id: 'CP', basis: 'concentration', min: 20, z }],
})

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
  const [late, meanwhile] = await Promise.all([pool.formulate(endless), pool.formulate(grower.problem)])
  expect(late).toMatchObject({ status: 'failed', reason: 'time-limit' })
  expect(meanwhile.status).toBe('optimal')
  const after = await Promise.all(Array.from({ length: 8 }, () => pool.formulate(grower.problem)))
  expect(after.map((answer) => answer.status)).toEqual(Array(8).fill('optimal'))
})

test('what waits behind others longer than its own deadline is not ended for it', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 600 })
  const begun = performance.now()
  const [first, second, waited] = await Promise.all([one.formulate(endless), one.formulate(endless), one.formulate(grower.problem)])
  expect([first, second]).toMatchObject(Array(2).fill({ status: 'failed', reason: 'time-limit' }))
  expect(waited.status).toBe('optimal')
  expect(performance.now() - begun).toBeGreaterThan(1200)
  await one.close()
})

test('what travels in one batch with an endless problem is answered all the same', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 700 })
  const problems = Array.from({ length: 30 }, (_, i) => (i === 3 || i === 11 ? endless : grower.problem))
  const answers = await Promise.all(problems.map((problem) => one.formulate(problem)))
  expect(answers.map((answer) => (answer.status === 'failed' ? answer.reason : answer.status))).toEqual(
    problems.map((problem) => (problem === grower.problem ? 'optimal' : 'time-limit')),
  )
  await one.close()
})

test('what waits behind an endless problem is taken up by another thread', { timeout: 30_000 }, async () => {
  const two = createSolverPool({ threads: 2, deadlineMs: 6000 })
  let ended = false
  const late = two.formulate(endless).then((answer) => {
    ended = true
    return answer
  })
  const others = await Promise.all(Array.from({ length: 40 }, () => two.formulate(grower.problem)))
  expect(others.every((answer) => answer.status === 'optimal')).toBe(true)
  expect(ended, 'all of them before its deadline').toBe(false)
  expect(await late).toMatchObject({ status: 'failed', reason: 'time-limit' })
  await two.close()
})

test('of a batch at a thread one can be taken back', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 700 })
  await one.formulate(grower.problem)
  const end = new AbortController()
  const packed = packProblem(grower.problem)
  const asked = [packProblem(endless), packed, packed].map((input, i) => one.run('formulate', input, i === 1 ? { signal: end.signal } : {}))
  // so that the batch has been sent, and the thread is at its first
  setTimeout(() => end.abort(), 5)
  expect(await Promise.all(asked)).toMatchObject([{ reason: 'time-limit' }, { reason: 'solver-error' }, { kind: 'done' }])
  await one.close()
})

test('a deadline of its own counts for one problem of a batch alone', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 9000 })
  const [short, other] = await Promise.all([
    one.run('formulate', packProblem(endless), { deadlineMs: 300 }),
    one.run('formulate', packProblem(grower.problem)),
  ])
  expect([short, other]).toMatchObject([{ detail: 'not solved in 300 ms' }, { kind: 'done' }])
  await one.close()
})

test('takes back what still waits, and nothing that has begun or ended', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 600 })
  const [gone, end] = [new AbortController(), new AbortController()]
  gone.abort()
  const packed = packProblem(grower.problem)
  expect(await one.run('formulate', packed, { signal: gone.signal })).toMatchObject({ kind: 'failed', reason: 'solver-error' })
  expect(await one.run('formulate', packed, { signal: end.signal })).toMatchObject({ kind: 'done' })
  // well after the thread has begun with the first
  const running = one.run('formulate', packProblem(endless), { signal: end.signal })
  const waiting = one.run('formulate', packed, { signal: end.signal })
  const other = one.run('formulate', packed)
  setTimeout(() => end.abort(), 300)
  expect(await waiting).toMatchObject({ kind: 'failed', reason: 'solver-error' })
  expect(await running, 'goes on to its deadline').toMatchObject({ kind: 'failed', reason: 'time-limit' })
  expect(await other).toMatchObject({ kind: 'done' })
  await one.close()
})

test('what is still being solved when the pool closes answers that it failed', { timeout: 20_000 }, async () => {
  const one = createSolverPool({ threads: 1, deadlineMs: 9000 })
  const [running, waiting] = [one.formulate(endlessProblem(900)), one.formulate(grower.problem)]
  await one.close()
  expect(await Promise.all([running, waiting])).toMatchObject(Array(2).fill({ status: 'failed', reason: 'solver-error' }))
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

test('certainty crosses the threads: the same answer as in the process itself', async () => {
  const [solver, kept, dropped] = [simplexFirst(await createGlpkSolver()), withSpreads(1.645), withSpreads(0)]
  expect(await pool.formulate(kept)).toEqual(formulate(kept, solver))
  expect(await pool.formulate(dropped)).toEqual(formulate(dropped, solver))
})

test('a problem unpacked is the problem that was packed, without what counts for nothing', () => {
  const [kept, dropped] = [withSpreads(1.645), withSpreads(0)]
  const travelled = (problem: FormulaProblem) => unpackProblem(structuredClone(packProblem(problem)))
  expect(travelled(kept)).toEqual(kept)
  expect(travelled(dropped).ingredients.some((one) => 'spreads' in one)).toBe(false)
  const unknown = { ...kept, ingredients: kept.ingredients.map(({ nutrients: _none, ...one }) => one) }
  expect(
    travelled(unknown).ingredients.every(({ nutrients }) => Object.keys(nutrients ?? {}).length === 0),
    'unknown stays unknown',
  ).toBe(true)
})

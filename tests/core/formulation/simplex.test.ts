import { describe, expect, test } from 'vitest'
import { isFeasiblePoint } from '#core/formulation/certificate'
import type { LinearProgram, LinearRow } from '#core/formulation/linear-program'
import { limitsOf, programOf } from '#core/formulation/program'
import { solveBySimplex } from '#core/formulation/simplex'
import { createHighsSolver } from '#platform/solver/highs'
import { seededRandom } from './certain-problems.js'
import { randomProblem } from './seeded-problems.js'

const highs = await createHighsSolver()

/** Minimise costs over variables that are never negative. */
function program(costs: readonly number[], rows: readonly (readonly [number | null, readonly number[], number | null])[]): LinearProgram {
  return {
    variables: costs.map((cost, j) => ({ name: `x${j}`, cost, lower: 0, upper: null })),
    rows: rows.map(([lower, coefficients, upper], i) => ({ name: `r${i}`, lower, upper, columns: costs.map((_, j) => j), coefficients })),
  }
}
const bounded = (lp: LinearProgram, upper: number): LinearProgram => ({
  ...lp,
  variables: lp.variables.map((variable) => ({ ...variable, upper })),
})

describe('the simplex', () => {
  test('a diet by hand: 2 x + y >= 4, x + 3 y >= 6 at 3 x + 4 y costs 10 (x = 1.2, y = 1.6), each row paid for', () => {
    const found = solveBySimplex(
      program(
        [3, 4],
        [
          [4, [2, 1], null],
          [6, [1, 3], null],
        ],
      ),
    )
    if (found.kind !== 'optimal') throw new Error(found.kind)
    expect(found.objective).toBeCloseTo(10, 12)
    expect(found.x[0]).toBeCloseTo(1.2, 12)
    expect(found.x[1]).toBeCloseTo(1.6, 12)
    // 2 a + b = 3, a + 3 b = 4
    expect(found.rowDuals[0]).toBeCloseTo(1, 12)
    expect(found.rowDuals[1]).toBeCloseTo(1, 12)
  })

  test('does not go round in the program on which the first simplex method does (Beale 1955, from memory: the least is -1/20)', () => {
    const beale = program(
      [-0.75, 150, -0.02, 6],
      [
        [null, [0.25, -60, -0.04, 9], 0],
        [null, [0.5, -90, -0.02, 3], 0],
        [null, [0, 0, 1, 0], 1],
      ],
    )
    const found = solveBySimplex(bounded(beale, 1000))
    if (found.kind !== 'optimal') throw new Error(found.kind)
    expect(found.objective).toBeCloseTo(-0.05, 12)
    expect(found.x[0]).toBeCloseTo(0.04, 12)
  })

  test('takes a bound instead of a step through all corners (Klee and Minty 1972, from memory: 100^(n-1))', () => {
    const size = 8
    const costs = Array.from({ length: size }, (_, j) => -(10 ** (size - 1 - j)))
    const rows = costs.map((_, i) => [null, costs.map((_cost, j) => (j < i ? 2 * 10 ** (i - j) : j === i ? 1 : 0)), 100 ** i] as const)
    const found = solveBySimplex(bounded(program(costs, rows), 100 ** size))
    if (found.kind !== 'optimal') throw new Error(found.kind)
    expect(found.objective / -(100 ** (size - 1))).toBeCloseTo(1, 12)
  })

  test('leaves to others what falls without end, and what is too large for it', () => {
    expect(solveBySimplex(program([-1, 1], [[null, [-1, 1], 5]])).kind).toBe('unsure')
    const many = Array.from({ length: 300 }, () => 1)
    expect(
      solveBySimplex(
        program(
          many,
          many.map(() => [1, many, null] as const),
        ),
      ).kind,
    ).toBe('unsure')
  })

  test('says that nothing meets limits only where that is plain', () => {
    expect(solveBySimplex(bounded(program([1, 1], [[5, [1, 1], null]]), 2)).kind).toBe('infeasible')
    expect(solveBySimplex(bounded(program([1, 1], [[4 + 1e-9, [1, 1], null]]), 2)).kind).toBe('unsure')
    expect(solveBySimplex(bounded(program([1, 1], [[4, [1, 1], null]]), 2)).kind).toBe('optimal')
  })
})

describe('from the last answer on', { timeout: 60_000 }, () => {
  /** A row that cuts the answer off: at most nine tenths of what it now weighs, with weights that differ by place. */
  const cutting = (x: readonly number[], name: string): LinearRow => {
    const coefficients = x.map((_, j) => 1 + ((j * 7) % 5) / 5)
    const weight = coefficients.reduce((sum, value, j) => sum + value * (x[j] ?? 0), 0)
    return { name, lower: null, upper: weight * 0.999, columns: x.map((_, j) => j), coefficients }
  }

  test('with a row more, or other limits, the cost is that of HiGHS from the beginning, on 300 random problems', () => {
    const seen = { optimal: 0, infeasible: 0 }
    for (let seed = 0; seed < 300; seed += 1) {
      const { problem } = randomProblem(seed)
      const lp = programOf(limitsOf(problem))
      const first = solveBySimplex(lp)
      if (first.kind !== 'optimal') continue
      const wider = {
        ...lp,
        rows: lp.rows.map((row) => ({ ...row, upper: row.upper === null || row.lower === row.upper ? row.upper : row.upper * 1.01 })),
      }
      const longer = { ...lp, rows: [...lp.rows, cutting(first.x, `r${lp.rows.length}`)] }
      for (const changed of [wider, longer]) {
        const [found, truth] = [solveBySimplex(changed, first.basis), highs.solve(changed)]
        if (found.kind === 'unsure') continue
        expect(found.kind, `problem ${seed}`).toBe(truth.kind)
        seen[found.kind] += 1
        if (found.kind !== 'optimal' || truth.kind !== 'optimal') continue
        const size = lp.variables.reduce((sum, { cost }, j) => sum + Math.abs(cost * (found.x[j] ?? 0)), 1e-9)
        expect(Math.abs(found.objective - truth.objective), `problem ${seed}`).toBeLessThanOrEqual(1e-6 * size)
      }
    }
    expect(seen.optimal).toBeGreaterThan(200)
    expect(seen.infeasible).toBeGreaterThan(0)
  })

  test('a start that does not fit the program is put aside', () => {
    const lp = program(
      [3, 4],
      [
        [4, [2, 1], null],
        [6, [1, 3], null],
      ],
    )
    const singular = program(
      [3, 4],
      [
        [4, [1, 1], null],
        [6, [1, 1], null],
      ],
    )
    const first = solveBySimplex(lp)
    if (first.kind !== 'optimal') throw new Error(first.kind)
    expect(solveBySimplex(singular, first.basis)).toMatchObject({ kind: 'optimal', objective: 18 })
  })

  test('a start that names what is not there, or twice, changes no answer', () => {
    const lp = bounded(
      program(
        [3, 4],
        [
          [4, [2, 1], null],
          [6, [1, 3], null],
        ],
      ),
      3,
    )
    const odd = [-1, 0, 0.5, 1, 2, 3, 7, Number.NaN]
    for (const column of odd)
      for (const other of odd)
        for (const row of odd) {
          const starts = [
            { basic: [column], met: [row], atUpper: [row, column] },
            { basic: [column, other], met: [0, 1], atUpper: [other] },
            { basic: [column, other], met: [row, 0], atUpper: [] },
          ]
          for (const start of starts) {
            const found = solveBySimplex(lp, start)
            if (found.kind !== 'optimal') throw new Error(`${found.kind} ${JSON.stringify(start)}`)
            expect(found.objective).toBeCloseTo(10, 12)
          }
        }
  })
})

describe('figures far apart', () => {
  const alone = (place: number, size: number): number[] => Array.from({ length: size }, (_, j) => (j === place ? 1 : 0))

  test('a limit is kept however small it is beside the others, or another solver is asked', () => {
    const costs = [1, 1, 1, 1, 1]
    const found = solveBySimplex(
      program(
        costs,
        costs.map((_, j) => [j === 4 ? 1e-6 : 1e8, alone(j, 5), null] as const),
      ),
    )
    expect(found.kind === 'optimal' ? found.x[4] : 1e-6).toBeGreaterThanOrEqual(1e-6 * (1 - 1e-9))
  })

  test('of two cheap ways the cheaper is taken however dear the rest is, or another solver is asked', () => {
    // 1,000 of the third, which costs a tenth of the first and serves as well in the second row: 0.1
    const found = solveBySimplex(
      program(
        [1e-3, 0.1, 1e-4, 1e6, 1e-6],
        [
          [1000, [-1e-5, 0, 1e6, -1e-7, 0], null],
          [1e8, [1e5, 0, 1e5, 0, -0.01], null],
          [100, [1e-7, 1e-6, 1e5, 1, 0], null],
        ],
      ),
    )
    expect(found.kind === 'optimal' ? found.objective : 0.1).toBeCloseTo(0.1, 6)
  })

  test('programs made around a point that meets all their limits are never said to have none: 1,500, of figures sixteen powers of ten apart', () => {
    const seen = { optimal: 0, infeasible: 0, unsure: 0 }
    for (let seed = 1; seed <= 1500; seed += 1) {
      const random = seededRandom(seed)
      const count = (most: number): number => 1 + Math.floor(most * random())
      const figure = (powers: number): number => 10 ** (powers * (2 * random() - 1))
      const meant = Array.from({ length: count(10) }, () => (random() < 0.4 ? 0 : figure(6)))
      const rows = Array.from({ length: count(10) }, () => {
        const coefficients = meant.map(() => (random() < 0.3 ? 0 : (random() < 0.3 ? -1 : 1) * figure(8)))
        const value = coefficients.reduce((sum, coefficient, j) => sum + coefficient * (meant[j] ?? 0), 0)
        return [random() < 0.7 ? value : null, coefficients, random() < 0.5 ? value : null] as const
      })
      const lp = program(
        meant.map(() => figure(8)),
        rows,
      )
      const found = solveBySimplex({ ...lp, variables: lp.variables.map((one, j) => (meant[j] ? one : { ...one, upper: 0 })) })
      seen[found.kind] += 1
      if (found.kind === 'infeasible') expect(isFeasiblePoint(lp, meant), `program ${seed}`).toBe(false)
    }
    expect(seen.optimal).toBeGreaterThan(1000)
  })
})

import type { LinearProgram, LinearRow, LinearSolver, LinearVariable } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'

/** A term of a lifted program: so many times a variable. */
type Term = readonly [column: number, coefficient: number]

const LEVELS = 13

/**
 * The cost of a problem with certain minima and maxima on concentration by another way than cuts at incumbents: one linear program in which
 * every norm is a tree of pairs, and every pair a polygon of 2^LEVELS sides written with few rows (Ben-Tal and Nemirovski 2001, from memory).
 * The polygon is nearer to the circle than 2e-8 of its radius. Null where there is no mix.
 */
export function conicCost(problem: FormulaProblem, solver: LinearSolver): number | null {
  const variables: LinearVariable[] = []
  const rows: LinearRow[] = []
  const size = problem.batch?.size ?? 1
  const variable = (cost: number, lower: number | null, upper: number | null): number =>
    variables.push({ name: `x${variables.length}`, cost, lower, upper }) - 1
  const row = (terms: readonly Term[], lower: number | null, upper: number | null): void => {
    const sorted = terms.filter(([, value]) => value !== 0).toSorted(([a], [b]) => a - b)
    rows.push({ name: `r${rows.length}`, lower, upper, columns: sorted.map(([c]) => c), coefficients: sorted.map(([, v]) => v) })
  }
  // amounts as shares of the batch
  const x = problem.ingredients.map(({ cost, min = 0, max }) => variable(cost * size, min / size, max === undefined ? null : max / size))
  const amount = (i: number): number => x[i] ?? -1
  row(
    x.map((column): Term => [column, 1]),
    1,
    1,
  )
  /** A variable at least as large as the length of (a, b), both not negative. */
  const lengthOf = (a: number, b: number): number => {
    let [along, across] = [a, b]
    for (let level = 1; level <= LEVELS; level += 1) {
      const angle = Math.PI / 2 ** (level + 1)
      const [nextAlong, nextAcross] = [variable(0, null, null), variable(0, 0, null)]
      row(
        [
          [nextAlong, 1],
          [along, -Math.cos(angle)],
          [across, -Math.sin(angle)],
        ],
        0,
        0,
      )
      row(
        [
          [nextAcross, 1],
          [along, Math.sin(angle)],
          [across, -Math.cos(angle)],
        ],
        0,
        null,
      )
      row(
        [
          [nextAcross, 1],
          [along, -Math.sin(angle)],
          [across, Math.cos(angle)],
        ],
        0,
        null,
      )
      ;[along, across] = [nextAlong, nextAcross]
    }
    row(
      [
        [along, Math.tan(Math.PI / 2 ** (LEVELS + 1))],
        [across, -1],
      ],
      0,
      null,
    )
    return along
  }
  for (const { id, min, max, z = 0 } of problem.nutrients ?? []) {
    const mean = problem.ingredients.map(({ nutrients }, i): Term => [amount(i), nutrients?.[id] ?? Number.NaN])
    const spreads = problem.ingredients.map(({ spreads: all }) => all?.[id] ?? { own: 0 })
    const keys = new Set(spreads.flatMap(({ shared = {} }) => Object.keys(shared)))
    const scale = Math.max(1e-9, ...mean.map(([, value]) => Math.abs(value)))
    const parts =
      z === 0
        ? []
        : [
            ...spreads.map(({ own }, i): Term[] => [[amount(i), own / scale]]),
            ...[...keys].map((key) => spreads.map(({ shared = {} }, i): Term => [amount(i), (shared[key] ?? 0) / scale])),
          ].filter((terms) => terms.some(([, value]) => value !== 0))
    let lengths = parts.map((terms) => {
      const part = variable(0, 0, null)
      row([[part, 1], ...terms.map(([column, value]): Term => [column, -value])], 0, 0)
      return part
    })
    while (lengths.length > 1) {
      const [last] = lengths.length % 2 ? lengths.slice(-1) : []
      const pairs = Array.from({ length: Math.floor(lengths.length / 2) }, (_, k) =>
        lengthOf(lengths[2 * k] ?? -1, lengths[2 * k + 1] ?? -1),
      )
      lengths = last === undefined ? pairs : [...pairs, last]
    }
    const [sd] = lengths
    const scaled = mean.map(([column, value]): Term => [column, value / scale])
    if (min !== undefined) row([...scaled, ...(sd === undefined ? [] : [[sd, -z] as const])], min / scale, null)
    if (max !== undefined) row([...scaled, ...(sd === undefined ? [] : [[sd, z] as const])], null, max / scale)
  }
  const lp: LinearProgram = { variables, rows }
  const outcome = solver.solve(lp)
  return outcome.kind === 'optimal' ? outcome.objective : null
}

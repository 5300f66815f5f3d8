import type { FormulaProblem } from '#core/formulation/problem'

/** `sum of dense x <= most`. */
type Side = { readonly dense: readonly number[]; readonly most: number }

function solveSquare(rows: readonly (readonly number[])[], right: readonly number[]): number[] | null {
  const m = rows.map((row, i) => [...row, right[i] ?? 0])
  const n = m.length
  for (let c = 0; c < n; c += 1) {
    let pivot = c
    for (let r = c + 1; r < n; r += 1) if (Math.abs(m[r]?.[c] ?? 0) > Math.abs(m[pivot]?.[c] ?? 0)) pivot = r
    const top = m[pivot]
    const under = m[c]
    if (!top || !under || Math.abs(top[c] ?? 0) < 1e-9) return null
    m[pivot] = under
    m[c] = top
    for (const [r, row] of m.entries()) {
      if (r === c) continue
      const factor = (row[c] ?? 0) / (top[c] ?? 1)
      for (let k = c; k <= n; k += 1) row[k] = (row[k] ?? 0) - factor * (top[k] ?? 0)
    }
  }
  return m.map((row, i) => (row[n] ?? Number.NaN) / (row[i] ?? Number.NaN))
}

function* choices(count: number, of: number, from = 0): Generator<readonly number[]> {
  if (count === 0) yield []
  else for (let first = from; first <= of - count; first += 1) for (const rest of choices(count - 1, of, first + 1)) yield [first, ...rest]
}

/**
 * All corners of a problem with a fixed batch and limits on concentrations, by every choice of limits that meet: no solver, and none of the
 * code that makes programs. A linear cost is least, and a convex distance greatest, at one of them. `mostCost` cuts the dear ones off.
 */
export function cornersOf(problem: FormulaProblem, mostCost: number | null = null): number[][] {
  const batch = problem.batch?.size ?? 1
  const n = problem.ingredients.length
  const unit = (i: number, value: number) => Array.from({ length: n }, (_, j) => (i === j ? value : 0))
  const sides: Side[] = [
    ...problem.ingredients.flatMap(({ max }, i) => [
      { dense: unit(i, -1), most: 0 },
      ...(max === undefined ? [] : [{ dense: unit(i, 1), most: max }]),
    ]),
    ...(problem.nutrients ?? []).flatMap(({ id, min, max }) => {
      const contents = problem.ingredients.map(({ nutrients }) => nutrients?.[id] ?? Number.NaN)
      return [
        ...(min === undefined ? [] : [{ dense: contents.map((value) => -value), most: -min * batch }]),
        ...(max === undefined ? [] : [{ dense: contents, most: max * batch }]),
      ]
    }),
    ...(mostCost === null ? [] : [{ dense: problem.ingredients.map(({ cost }) => cost), most: mostCost }]),
  ]
  const total = unit(0, 1).map(() => 1)
  const corners: number[][] = []
  for (const chosen of choices(n - 1, sides.length)) {
    const met = chosen.flatMap((i) => sides[i] ?? [])
    const x = solveSquare([total, ...met.map(({ dense }) => dense)], [batch, ...met.map(({ most }) => most)])
    if (!x) continue
    const kept = sides.every(({ dense, most }) => {
      const terms = dense.map((value, i) => value * (x[i] ?? Number.NaN))
      return (
        terms.reduce((sum, term) => sum + term, 0) <=
        most + 1e-9 * terms.reduce((sum, term) => sum + Math.abs(term), Math.abs(most) + batch)
      )
    })
    if (kept) corners.push(x)
  }
  return corners
}

import type { Basis, LinearOutcome, LinearProgram } from './linear-program.js'
import { Dictionary } from './simplex-dictionary.js'
import { denseForm } from './simplex-form.js'
import { optimalVertex, provesNone } from './simplex-vertex.js'

/** A vertex that is optimal, a program that no amounts meet, or neither could be shown here. */
export type SimplexOutcome =
  (Extract<LinearOutcome, { kind: 'optimal' }> & { readonly basis: Basis }) | { readonly kind: 'infeasible' } | { readonly kind: 'unsure' }

const UNSURE: SimplexOutcome = { kind: 'unsure' }
/** Beyond this many figures a dense dictionary loses against sparse solvers. */
const MOST_CELLS = 40_000
/** How far a basic variable may lie outside its bounds, in scaled figures, before it must leave. */
const OUTSIDE = 1e-10
/** Coefficients that are smaller are no pivots. */
const NO_PIVOT = 1e-8
/** What reduced costs may give way for a safer pivot. */
const GIVE = 1e-11

type Leaving = { readonly row: number; readonly gap: number; readonly upwards: boolean }

/** The basic variable that lies outside its bounds furthest, measured along its own edge (dual steepest edge, Forrest and Goldfarb 1992, from memory). */
function leaving(dictionary: Dictionary): Leaving | null {
  const { basic, values, nonbasic, form } = dictionary
  let best: Leaving | null = null
  let most = 0
  for (let row = 0; row < form.rows; row += 1) {
    const variable = basic[row] ?? 0
    const value = values[row] ?? Number.NaN
    const [below, above] = [dictionary.lowerOf(variable) - value, value - dictionary.upperOf(variable)]
    const gap = Math.max(below, above)
    if (!(gap > OUTSIDE * Math.max(1, Math.abs(value)))) continue
    let edge = variable < form.columns ? 0 : 1
    for (let j = 0; j < form.columns; j += 1) if ((nonbasic[j] ?? 0) >= form.columns) edge += dictionary.cell(row, j) ** 2
    const weight = (gap * gap) / Math.max(edge, 1e-12)
    if (weight <= most) continue
    most = weight
    best = { row, gap, upwards: below > above }
  }
  return best
}

/** Places whose variable, moved the way it can, brings the leaving one back. */
function candidates(dictionary: Dictionary, { row, upwards }: Leaving): number[] {
  const found: number[] = []
  for (let j = 0; j < dictionary.form.columns; j += 1) {
    const pull = (upwards ? 1 : -1) * dictionary.cell(row, j)
    if (Math.abs(pull) <= NO_PIVOT) continue
    const variable = dictionary.nonbasic[j] ?? 0
    const at = dictionary.at[j] ?? 0
    const mayMove = pull > 0 ? at < dictionary.upperOf(variable) : at > dictionary.lowerOf(variable)
    if (mayMove) found.push(j)
  }
  return found
}

/**
 * The place that enters: the first whose reduced cost reaches zero, after flipping to their other bound all those that come before it and do
 * not bring the leaving variable back by themselves (bound flipping, from memory). Of nearly equal ones that with the largest coefficient (Harris 1973,
 * from memory). -1 where none is left.
 */
function entering(dictionary: Dictionary, { row, gap }: Leaving, places: number[]): number {
  const { reduced, nonbasic, at } = dictionary
  const size = (j: number): number => Math.abs(dictionary.cell(row, j))
  const price = (j: number): number => Math.abs(reduced[j] ?? 0)
  let rest = places
  let left = gap
  while (rest.length > 0) {
    let reach = Number.POSITIVE_INFINITY
    for (const j of rest) reach = Math.min(reach, (price(j) + GIVE) / size(j))
    let best = -1
    let moved = 0
    for (const j of rest) {
      if (price(j) / size(j) > reach) continue
      if (best < 0 || size(j) > size(best)) best = j
      const variable = nonbasic[j] ?? 0
      moved += size(j) * (dictionary.upperOf(variable) - dictionary.lowerOf(variable))
    }
    if (!(moved < left)) return best
    left -= moved
    const flipped = rest.filter((j) => price(j) / size(j) <= reach)
    for (const j of flipped) {
      const variable = nonbasic[j] ?? 0
      dictionary.moveTo(j, at[j] === dictionary.lowerOf(variable) ? dictionary.upperOf(variable) : dictionary.lowerOf(variable))
    }
    rest = rest.filter((j) => !flipped.includes(j))
  }
  return -1
}

/** Pivots until no basic variable lies outside its bounds, also when their values are worked out afresh. */
function descend(dictionary: Dictionary): 'done' | 'infeasible' | 'unsure' {
  const { form } = dictionary
  const most = 50 + 10 * (form.rows + form.columns)
  let fresh = true
  dictionary.revalue()
  for (let step = 0; step < most; step += 1) {
    const out = leaving(dictionary)
    if (!out) {
      if (fresh) return 'done'
      dictionary.revalue()
      fresh = true
      continue
    }
    fresh = false
    const place = entering(dictionary, out, candidates(dictionary, out))
    if (place < 0) return provesNone(form, dictionary.weights(out.row, out.upwards)) ? 'infeasible' : 'unsure'
    const variable = dictionary.basic[out.row] ?? 0
    dictionary.exchange(out.row, place, out.upwards ? dictionary.lowerOf(variable) : dictionary.upperOf(variable))
    if (!dictionary.keepPrices()) return 'unsure'
  }
  return 'unsure'
}

/**
 * Solves a small linear program by the dual simplex method with bounds (Lemke 1954; Koberstein 2005 for the form; both from memory) on a dense
 * dictionary, from `start` where it is given: a basis of the same program with other limits or with rows added at its end. A vertex is
 * worked out afresh from the matrix and given only where it keeps every limit and its prices prove it the cheapest; `unsure` says that another
 * solver must be asked, as for large programs and where a cost falls without a bound.
 */
export function solveBySimplex(lp: LinearProgram, start?: Basis): SimplexOutcome {
  if (lp.variables.length * lp.rows.length > MOST_CELLS) return UNSURE
  const form = denseForm(lp)
  const dictionary = new Dictionary(form)
  if (start && !dictionary.enter(start)) return solveBySimplex(lp)
  if (!dictionary.stand(new Set(start?.atUpper))) return start ? solveBySimplex(lp) : UNSURE
  const end = descend(dictionary)
  if (end !== 'done') return start && end === 'unsure' ? solveBySimplex(lp) : { kind: end }
  const basis = dictionary.basis()
  const vertex = optimalVertex(lp, form, basis)
  if (!vertex) return start ? solveBySimplex(lp) : UNSURE
  const objective = lp.variables.reduce((sum, { cost }, j) => sum + cost * (vertex.x[j] ?? Number.NaN), 0)
  return { kind: 'optimal', objective, ...vertex, basis }
}

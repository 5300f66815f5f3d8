import { certainConflictOf } from './certainty-conflict.js'
import { certaintyViolations } from './certainty-recheck.js'
import { certaintyReport, withCertainty } from './certainty-report.js'
import { interiorGuess } from './certainty-interior.js'
import { polished } from './certainty-newton.js'
import { certainRowsOf, cutAt, missOf, type CertainRow } from './certainty-rows.js'
import { conflictOf } from './conflict.js'
import type { Formulation } from './formulation.js'
import type { Basis, LinearOutcome, LinearProgram } from './linear-program.js'
import { provenBound } from './optimality.js'
import type { FormulaProblem } from './problem.js'
import { statementOf } from './problem-statement.js'
import { programOf, sparse, type NamedLimits, type NamedRow } from './program.js'
import { solveStatement, type AnySolver, type SolveOptions } from './solve-statement.js'
import type { Statement } from './statement.js'
import { costSize, doubt, failed, minimisedCost, report, settle, type LinearOptimum } from './statement-report.js'
import { unknownContent } from './report.js'

export type CertainOptions = SolveOptions & {
  /** Mixes near which the answer is expected (amounts in the order of the ingredients): the first cuts are made there. */
  readonly near?: readonly (readonly number[])[] | undefined
}

/** A certain limit is kept once it is missed by no more than this share of what it is made of: a hundredth of what the re-check allows. */
const MISS = 1e-8
/** What a solver's own tolerance may leave when it cannot come nearer; half of what the re-check allows. */
const MISS_OF_SOLVER = 5e-7
/** A guess lies inside the curve of several limits at once, where no corner of cuts lies: a tenth of what the re-check allows. */
const MISS_OF_GUESS = 1e-7
/** How near a guess must come to the proven bound, as a share of the cost. */
const PROVEN = 1e-7
/** The first answer whose vertex is worth polishing, and the one after which the interior method is asked instead. */
const POLISHED_FROM = 3
const INTERIOR_AT = 10
/** Each round is a solve: 3 or 4 at the median of 200 feeds of 60 lots with three certain limits, 11 at most (measured). With cuts alone it was 24 at the median, and two of a hundred not within 80. */
export const MOST_ROUNDS = 80

/** The problem with every limit at the mean. */
export const atMean = (problem: FormulaProblem): FormulaProblem => ({
  ...problem,
  nutrients: problem.nutrients?.map(({ z: _z, ...nutrient }) => nutrient),
})

const cutsAt = (certain: readonly CertainRow[], amounts: readonly number[], share: number): NamedRow[] =>
  certain.flatMap((row) => {
    const { by, size } = missOf(row, amounts)
    return by > share * size ? [cutAt(row, amounts)] : []
  })

/**
 * The tangents, as rows, of all limits with `z` that a mix misses (amounts in the order of the ingredients): each holds for every mix that is
 * certain enough and cuts this one off. Empty where it misses none. The rows carry the id of their limit.
 */
export const certainCuts = (problem: FormulaProblem, amounts: readonly number[]): NamedRow[] =>
  cutsAt(certainRowsOf(problem), amounts, MISS)

const withCuts = (limits: NamedLimits, cuts: readonly NamedRow[]): NamedLimits => ({ ...limits, rows: [...limits.rows, ...cuts] })

const same = (a: readonly number[], b: readonly number[] | null): boolean =>
  b !== null && a.every((value, i) => Math.abs(value - (b[i] ?? 0)) <= 1e-12 * Math.max(1, Math.abs(value)))

type Task = {
  readonly problem: FormulaProblem
  readonly statement: Statement
  readonly certain: readonly CertainRow[]
  readonly solver: AnySolver
}
type Relaxation = { readonly lp: LinearProgram; readonly limits: NamedLimits; readonly outcome: LinearOptimum; readonly rounds: number }

function answerOf(
  { problem, statement, certain, solver }: Task,
  { lp, limits, outcome, rounds }: Relaxation,
  amounts: readonly number[],
): Formulation {
  const checked: Statement = {
    ...statement,
    limits,
    recheck: (some) => [...statement.recheck(some), ...certaintyViolations(problem, some)],
  }
  const reason = doubt(checked, lp, outcome, amounts)
  if (reason !== null) return failed('recheck', reason)
  const priced = limits.rows.map((row, i) => ({ row, dual: outcome.rowDuals[i] ?? Number.NaN }))
  const lowerBound = provenBound(lp, outcome.rowDuals, outcome.reducedCosts)
  const dearest = Math.max(1e-12, ...limits.costs.map(Math.abs))
  const certainty = certaintyReport(certain, { amounts, priced, lowerBound, rounds }, dearest)
  return withCertainty(report(checked, outcome, amounts, solver.name), certain, certainty, amounts)
}

/** What ends the search without an optimum; null where there is one to look at. */
function endOf({ statement, certain, solver }: Task, outcome: LinearOutcome, cuts: readonly NamedRow[]): Formulation | null {
  switch (outcome.kind) {
    case 'optimal':
      return null
    case 'infeasible': {
      // cuts always hold, so that where no set is confirmed for the curves one of the limits and the cuts made so far conflicts as surely
      const conflict = certainConflictOf(statement.limits, certain, cuts, solver) ?? conflictOf(withCuts(statement.limits, cuts), solver)
      return conflict ? { status: 'infeasible', conflict } : failed('recheck', 'the solver does not confirm a conflict of limits')
    }
    case 'unbounded':
      return failed('unsupported', 'no least cost where the certain limits hold only at the mean')
    case 'failed':
      return failed('solver-error', outcome.reason)
    default:
      return outcome satisfies never
  }
}

/** Whether the linear solver has proven a guess: it costs what the relaxation costs at least, and misses nothing. */
const proven = ({ statement, certain }: Task, guess: readonly number[], outcome: LinearOptimum): boolean =>
  Math.abs(minimisedCost(statement, guess) - outcome.objective) <= PROVEN * costSize(statement.limits, guess) &&
  cutsAt(certain, guess, MISS_OF_GUESS).length === 0

/** A relaxation: the limits at the mean and the cuts made so far. Only the cuts grow, so a solver may go on from its last answer. */
function relaxationOf({ statement }: Task): (cuts: readonly NamedRow[]) => Pick<Relaxation, 'lp' | 'limits'> {
  const { variables, rows } = programOf(statement.limits)
  return (cuts) => ({
    limits: withCuts(statement.limits, cuts),
    lp: { variables, rows: [...rows, ...cuts.map((cut, k) => sparse(cut, `r${rows.length + k}`))] },
  })
}

/** From the third answer on a vertex may rest on the right lots; the interior method, which needs no vertex, is the dearer way. */
function guessFrom(task: Task, { lp, outcome, rounds }: Relaxation, cuts: readonly NamedRow[]): readonly number[] | null {
  if (rounds === INTERIOR_AT) return interiorGuess(task.statement.limits, task.certain)
  return rounds >= POLISHED_FROM && rounds < INTERIOR_AT
    ? polished({ lp, cuts, x: settle(lp, outcome.x), rowDuals: outcome.rowDuals }, task.certain)
    : null
}

function solveByCuts(task: Task, start: readonly NamedRow[]): Formulation {
  const { certain, solver } = task
  const cuts = [...start]
  const relaxed = relaxationOf(task)
  let before: readonly number[] | null = null
  let guess: readonly number[] | null = null
  let basis: Basis | undefined
  for (let rounds = 1; rounds <= MOST_ROUNDS; rounds += 1) {
    const { lp, limits } = relaxed(cuts)
    const outcome = solver.solve(lp, basis)
    const end = endOf(task, outcome, cuts)
    if (end || outcome.kind !== 'optimal') return end ?? failed('solver-error', outcome.kind)
    const relaxation = { lp, limits, outcome, rounds }
    const amounts = settle(lp, outcome.x)
    const missed = cutsAt(certain, amounts, same(amounts, before) ? MISS_OF_SOLVER : MISS)
    if (missed.length === 0) return answerOf(task, relaxation, amounts)
    if (guess && proven(task, guess, outcome)) {
      const answer = answerOf(task, relaxation, guess)
      if (answer.status === 'optimal') return answer
    }
    const next = guessFrom(task, relaxation, cuts)
    if (next) guess = next
    cuts.push(...missed, ...(next ? certain.map((row) => cutAt(row, next)) : []))
    before = amounts
    basis = outcome.basis
  }
  return failed('recheck', `certain limits not reached in ${MOST_ROUNDS} rounds`)
}

/** The same with whole numbers: each round is a whole solve, and its bound is the bound of the answer. */
function solveChoicesByCuts({ problem, statement, certain, solver }: Task, options: SolveOptions): Formulation {
  const cuts: NamedRow[] = []
  for (let rounds = 1; rounds <= MOST_ROUNDS; rounds += 1) {
    const found = solveStatement({ ...statement, limits: withCuts(statement.limits, cuts) }, solver, options)
    if (found.status === 'infeasible') return { ...found, conflict: [...new Set(found.conflict)] }
    if (found.status !== 'optimal') return found
    const amounts = statement.ids.map((id) => found.amounts[id] ?? Number.NaN)
    const missed = cutsAt(certain, amounts, MISS)
    if (missed.length === 0) {
      const broken = certaintyViolations(problem, amounts)
      if (broken.length > 0)
        return failed('recheck', `limits not kept: ${broken.map(({ id, by }) => `${id} by ${by.toPrecision(3)}`).join(', ')}`)
      const lowerBound = found.search?.bound ?? found.objective
      return withCertainty(found, certain, certaintyReport(certain, { amounts, priced: [], lowerBound, rounds }, 1), amounts)
    }
    cuts.push(...missed)
  }
  return failed('recheck', `certain limits not reached in ${MOST_ROUNDS} rounds`)
}

/**
 * The least-cost blend in which each nutrient limit with `z` holds with so many standard deviations of the mix to spare:
 * mean - z sqrt(sum (own x)^2 + sum over shared keys (sum shared x)^2) >= minimum, and plus with <= for a maximum. By cutting planes over
 * linear solves (Kelley 1960, from memory): each round adds the tangent of every limit that the last mix missed. The last relaxation is a
 * proven lower bound. The answer is re-checked by other code; `certainty` says what was asked, reached and paid for, by limit.
 */
export function formulateCertain(problem: FormulaProblem, solver: AnySolver, options: CertainOptions = {}): Formulation {
  const unknown = unknownContent(problem)
  if (unknown !== null) return failed('unknown-content', unknown)
  const odd = problem.nutrients?.find(({ z = 0 }) => !(z >= 0 && Number.isFinite(z)))
  if (odd) return failed('unsupported', `z of ${odd.id}`)
  const statement = statementOf(atMean(problem))
  const certain = certainRowsOf(problem)
  const task: Task = { problem, statement, certain, solver }
  if (statement.limits.choices?.length) return solveChoicesByCuts(task, options)
  return solveByCuts(
    task,
    (options.near ?? []).flatMap((amounts) => certain.map((row) => cutAt(row, amounts))),
  )
}

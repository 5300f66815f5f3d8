import { costlessRay } from './certificate.js'
import { integerConflictOf } from './conflict.js'
import type { Formulation } from './formulation.js'
import { upperBoundsOf } from './integer-bounds.js'
import { chosenIndices, type Choice } from './integer-choice.js'
import { integerProgramOf, leastUsed, type MostOf } from './integer-program.js'
import type { IntegerOutcome, IntegerProgram, LinearProgram, SearchLimits, Solver } from './linear-program.js'
import type { Statement } from './statement.js'
import { amountsById, bindingOf, brokenBy, costSize, failed, GAP, minimisedCost, near } from './statement-report.js'

type Solved = Extract<IntegerOutcome, { kind: 'solved' }>

/** The program with its whole numbers held where the search left them: what is left is linear, and exact. */
function held(program: IntegerProgram, x: readonly number[]): LinearProgram {
  return {
    rows: program.rows,
    variables: program.variables.map((variable, j) => {
      if (!program.integer[j]) return variable
      const whole = Math.round(x[j] ?? Number.NaN)
      return { ...variable, lower: whole, upper: whole }
    }),
  }
}

/** A search keeps whole numbers to a tolerance of its own; amounts are worked out again from the numbers they round to. */
function amountsOf({ limits, ids }: Statement, program: IntegerProgram, found: Solved, solver: Solver): number[] {
  const outcome = solver.solve(held(program, found.x))
  const x = outcome.kind === 'optimal' ? outcome.x : found.x
  const choices = limits.choices ?? []
  const size = Math.max(1e-9, ...x.slice(0, ids.length).map(Math.abs))
  return ids.map((_, j) => {
    const value = x[j] ?? Number.NaN
    const step = choices.flatMap((choice) => (choice.kind === 'multiple' && choice.index === j ? [choice.step] : []))[0]
    const exact = step === undefined ? value : step * Math.round(value / step)
    if (Math.abs(exact - value) <= 1e-6 * size && step !== undefined) return exact
    return Math.abs(value) <= 1e-11 * size ? 0 : value
  })
}

/** Choices that are met with equality: a use at its least or at none, a count at its limit. Steps always are, and are not named. */
function bindingChoices(choices: readonly Choice[], amounts: readonly number[], mostOf: MostOf): string[] {
  const amount = (index: number) => amounts[index] ?? Number.NaN
  const used = (index: number) => amount(index) > 0.5 * leastUsed(choices, index, mostOf)
  const binds = (choice: Choice): boolean => {
    switch (choice.kind) {
      case 'multiple':
        return false
      case 'minIfUsed':
        return !used(choice.index) || near(amount(choice.index), choice.least, 0)
      case 'count': {
        const count = choice.indices.filter(used).length
        return count === choice.max || (choice.min > 0 && count === choice.min)
      }
      case 'implies':
        return used(choice.index) === used(choice.then)
    }
  }
  return choices.filter(binds).map(({ id }) => id)
}

function answer(statement: Statement, found: Solved, amounts: readonly number[], mostOf: MostOf, solver: Solver): Formulation {
  const broken = brokenBy(statement, amounts)
  if (broken !== null) return failed('recheck', broken)
  const { limits, sign = 1, offset = 0 } = statement
  const cost = minimisedCost(statement, amounts)
  const size = costSize(limits, amounts)
  if (!(Math.abs(cost - found.objective) <= GAP * size)) return failed('recheck', `cost ${cost} where the solver says ${found.objective}`)
  if (!(found.bound <= cost + GAP * size)) return failed('recheck', `cost ${cost} below the bound ${found.bound}`)
  return {
    status: 'optimal',
    objective: statement.costOf(amounts),
    amounts: amountsById(statement, amounts),
    binding: [...bindingOf(limits, amounts), ...bindingChoices(limits.choices ?? [], amounts, mostOf)],
    shadowPrices: {},
    reducedCosts: {},
    breakEvenPrices: {},
    solver: solver.name,
    search: { bound: sign * Math.min(found.bound, cost) + offset, proven: found.proven },
  }
}

/** With whole numbers "unbounded" is said of the relaxation; it holds where its ray stands and some answer in whole numbers exists. */
function unbounded(program: IntegerProgram, solver: Solver, search: SearchLimits): Formulation | null {
  const free = { ...program, variables: program.variables.map((variable) => ({ ...variable, cost: 0 })) }
  const start = solver.solveInteger(free, search)
  if (start.kind === 'infeasible') return null
  return start.kind === 'solved' && costlessRay(program, solver)
    ? { status: 'unbounded' }
    : failed('recheck', 'unbounded, but neither a start nor a direction confirms it')
}

/**
 * The cheapest answer of a statement with choices. Every chosen amount needs a known most, or it is `unsupported`. The answer was checked
 * against every limit by other code and against the proven bound; `search.proven` is false where the time ran out before the gap closed.
 */
export function solveWithChoices(statement: Statement, solver: Solver, search: SearchLimits): Formulation {
  const { limits, bigM, ids } = statement
  const bounds = upperBoundsOf(limits)
  const boundless = chosenIndices(limits.choices ?? []).find((index) => (bounds[index] ?? bigM ?? null) === null)
  if (boundless !== undefined) return failed('unsupported', `no upper bound for ${ids[boundless] ?? ''}`)
  const mostOf: MostOf = (index) => bounds[index] ?? bigM ?? Number.NaN
  const program = integerProgramOf(limits, mostOf)
  const outcome = solver.solveInteger(program, search)
  const impossible = (): Formulation => {
    const conflict = integerConflictOf(limits, mostOf, solver, search)
    return conflict ? { status: 'infeasible', conflict } : failed('recheck', 'the solver does not confirm a conflict of limits')
  }
  switch (outcome.kind) {
    case 'solved':
      return answer(statement, outcome, amountsOf(statement, program, outcome, solver), mostOf, solver)
    case 'infeasible':
      return impossible()
    case 'unbounded':
      return unbounded(program, solver, search) ?? impossible()
    case 'failed':
      return failed(outcome.reason.startsWith('time limit') ? 'time-limit' : 'solver-error', outcome.reason)
  }
}

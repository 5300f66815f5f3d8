import createGlpk, { type GLPK, type LP } from 'glpk.js/node'
import type { IntegerOutcome, IntegerProgram, LinearOutcome, LinearProgram, SearchLimits, Solver } from '#core/formulation/linear-program'
import { reducedCostsOf } from '#core/formulation/optimality'
import { equilibrated, obviousIntegerOutcome, obviousOutcome, withoutThrowing } from './equilibrate.js'

type Sides = { readonly lower: number | null; readonly upper: number | null }

function boundsFor(glpk: GLPK, { lower, upper }: Sides): { type: number; lb: number; ub: number } {
  const type =
    lower === null
      ? upper === null
        ? glpk.GLP_FR
        : glpk.GLP_UP
      : upper === null
        ? glpk.GLP_LO
        : lower === upper
          ? glpk.GLP_FX
          : glpk.GLP_DB
  // glpk.js reads "no bound" of a variable from these two values, whatever the type says
  return { type, lb: lower ?? -Number.MAX_VALUE, ub: upper ?? Number.MAX_VALUE }
}

const asGlpk = (glpk: GLPK, lp: LinearProgram): LP => ({
  name: 'mix',
  objective: { direction: glpk.GLP_MIN, name: 'cost', vars: lp.variables.map(({ name, cost }) => ({ name, coef: cost })) },
  subjectTo: lp.rows.map((row) => ({
    name: row.name,
    vars: row.columns.map((column, k) => ({ name: `x${column}`, coef: row.coefficients[k] ?? Number.NaN })),
    bnds: boundsFor(glpk, row),
  })),
  bounds: lp.variables.map((variable) => ({ name: variable.name, ...boundsFor(glpk, variable) })),
})

/** GLPK can go round in circles for ever: far more seconds than a program of that size takes (a plan of 16,500 columns took 39). */
const patience = ({ rows }: LinearProgram): number => 2 + rows.reduce((sum, row) => sum + row.columns.length, 0) / 5000

function outcomeOf(glpk: GLPK, original: LinearProgram): LinearOutcome {
  const { lp, objectiveOf, amountsOf, rowDualsOf } = equilibrated(original)
  // without presolve: with it an infeasible problem ends as "undefined", and duals of removed rows are rebuilt less exactly
  const { result } = glpk.solve(asGlpk(glpk, lp), { msglev: glpk.GLP_MSG_OFF, presol: false, tmlim: patience(original) })
  if (result.status === glpk.GLP_NOFEAS) return { kind: 'infeasible' }
  if (result.status === glpk.GLP_UNBND) return { kind: 'unbounded' }
  if (result.status !== glpk.GLP_OPT) return { kind: 'failed', reason: `glpk status ${result.status}` }
  const rowDuals = rowDualsOf(original.rows.map((row) => result.dual?.[row.name] ?? Number.NaN))
  return {
    kind: 'optimal',
    objective: objectiveOf(result.z),
    x: amountsOf(original.variables.map((variable) => result.vars[variable.name] ?? Number.NaN)),
    rowDuals,
    reducedCosts: reducedCostsOf(original, rowDuals),
  }
}

const wholeNames = ({ variables, integer }: IntegerProgram): string[] =>
  variables.flatMap((variable, j) => (integer[j] ? [variable.name] : []))

/**
 * With presolve on, because glpk.js starts the search without it from an unsolved relaxation and ends as "undefined" (measured, 5.0). A stop at
 * the gap and a stop at the time limit both end as "feasible"; the clock tells them apart, and after a time limit only the relaxation's
 * cost is a proven bound, because glpk.js does not pass on the search's own.
 */
function integerOutcomeOf(glpk: GLPK, program: IntegerProgram, { timeLimitMs, relativeGap }: SearchLimits): IntegerOutcome {
  const relaxed = outcomeOf(glpk, program)
  if (relaxed.kind !== 'optimal') return relaxed
  const { lp, objectiveOf, amountsOf } = equilibrated(program, program.integer)
  const { result, time } = glpk.solve(
    { ...asGlpk(glpk, lp), generals: wholeNames(program) },
    { msglev: glpk.GLP_MSG_OFF, presol: true, tmlim: timeLimitMs / 1000, mipgap: relativeGap },
  )
  const late = time * 1000 >= 0.9 * timeLimitMs
  if (result.status === glpk.GLP_NOFEAS) return { kind: 'infeasible' }
  if (result.status !== glpk.GLP_OPT && result.status !== glpk.GLP_FEAS)
    return { kind: 'failed', reason: late ? 'time limit before any answer' : `glpk status ${result.status}` }
  const objective = objectiveOf(result.z)
  const allowed = relativeGap * Math.abs(objective)
  const stopped = result.status === glpk.GLP_FEAS && late
  const bound = stopped ? relaxed.objective : result.status === glpk.GLP_OPT ? objective : objective - allowed
  const x = amountsOf(program.variables.map((variable) => result.vars[variable.name] ?? Number.NaN))
  return { kind: 'solved', objective, x, bound, proven: objective - bound <= allowed }
}

/** GLPK compiled to WebAssembly (glpk.js). Loading is asynchronous, solving is not. */
export async function createGlpkSolver(): Promise<Solver> {
  const glpk = await createGlpk()
  return {
    name: `GLPK ${glpk.version}`,
    solve: (lp) => withoutThrowing(() => obviousOutcome(lp) ?? outcomeOf(glpk, lp)),
    solveInteger: (program, limits) => withoutThrowing(() => obviousIntegerOutcome(program) ?? integerOutcomeOf(glpk, program, limits)),
  }
}

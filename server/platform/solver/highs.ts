import highsModule, { type Highs, type Model, type ModelData } from 'highs'
import type { IntegerOutcome, IntegerProgram, LinearOutcome, LinearProgram, SearchLimits, Solver } from '#core/formulation/linear-program'
import { reducedCostsOf } from '#core/formulation/optimality'
import { equilibrated, obviousIntegerOutcome, obviousOutcome, withoutThrowing, type Equilibrated } from './equilibrate.js'

// the package's types describe its CommonJS entry; the entry that Node imports exports the loader itself
const loadHighs = highsModule as unknown as typeof highsModule.default

const startsOf = ({ rows }: LinearProgram): number[] => {
  const starts = [0]
  for (const row of rows) starts.push((starts.at(-1) ?? 0) + row.columns.length)
  return starts
}

const modelOf = (highs: Highs, lp: LinearProgram): ModelData => ({
  numCols: lp.variables.length,
  numRows: lp.rows.length,
  colCost: lp.variables.map((variable) => variable.cost),
  colLower: lp.variables.map((variable) => variable.lower ?? -highs.infinity),
  colUpper: lp.variables.map((variable) => variable.upper ?? highs.infinity),
  rowLower: lp.rows.map((row) => row.lower ?? -highs.infinity),
  rowUpper: lp.rows.map((row) => row.upper ?? highs.infinity),
  matrix: {
    format: 'csr',
    numRows: lp.rows.length,
    numCols: lp.variables.length,
    starts: startsOf(lp),
    indices: lp.rows.flatMap((row) => row.columns),
    values: lp.rows.flatMap((row) => row.coefficients),
  },
})

function optimum(model: Model, original: LinearProgram, { objectiveOf, amountsOf, rowDualsOf }: Equilibrated): LinearOutcome {
  const solution = model.getSolution()
  const rowDuals = rowDualsOf(solution.rowDual)
  return {
    kind: 'optimal',
    objective: objectiveOf(model.getObjectiveValue()),
    x: amountsOf(solution.colValue),
    rowDuals,
    reducedCosts: reducedCostsOf(original, rowDuals),
  }
}

function outcomeOf(highs: Highs, original: LinearProgram): LinearOutcome {
  const scaled = equilibrated(original)
  const status = highs.constants.modelStatus
  return highs.withModel((model: Model): LinearOutcome => {
    // without presolve, which can end in "infeasible or unbounded" without saying which
    model.options.set({ output_flag: false, presolve: 'off', primal_feasibility_tolerance: 1e-9, dual_feasibility_tolerance: 1e-9 })
    model.passModel(modelOf(highs, scaled.lp))
    const { modelStatus } = model.run()
    if (modelStatus === status.optimal) return optimum(model, original, scaled)
    if (modelStatus === status.infeasible) return { kind: 'infeasible' }
    if (modelStatus === status.unbounded) return { kind: 'unbounded' }
    return { kind: 'failed', reason: `HiGHS status ${modelStatus}` }
  })
}

/** What the search found, also where it ran out of time; null where it found nothing. */
function found(highs: Highs, model: Model, scaled: Equilibrated, { relativeGap }: SearchLimits): IntegerOutcome | null {
  if (model.info.get('primal_solution_status') !== highs.constants.solutionStatus.feasible) return null
  const objective = scaled.objectiveOf(model.getObjectiveValue())
  const bound = scaled.objectiveOf(Number(model.info.get('mip_dual_bound')))
  const x = scaled.amountsOf(model.getSolution().colValue)
  return { kind: 'solved', objective, x, bound, proven: objective - bound <= relativeGap * Math.abs(objective) + ABSOLUTE_GAP }
}

/** A gap that counts as none where the cost itself is near zero. */
const ABSOLUTE_GAP = 1e-9

function integerOutcomeOf(highs: Highs, program: IntegerProgram, limits: SearchLimits): IntegerOutcome {
  const scaled = equilibrated(program, program.integer)
  const { modelStatus: status, variableType } = highs.constants
  const integrality = program.integer.map((whole) => (whole ? variableType.integer : variableType.continuous))
  return highs.withModel((model: Model): IntegerOutcome => {
    model.options.set({
      output_flag: false,
      time_limit: limits.timeLimitMs / 1000,
      mip_rel_gap: limits.relativeGap,
      mip_abs_gap: ABSOLUTE_GAP,
      mip_feasibility_tolerance: 1e-8,
    })
    model.passModel({ ...modelOf(highs, scaled.lp), integrality })
    const { modelStatus } = model.run()
    if (modelStatus === status.infeasible) return { kind: 'infeasible' }
    const answer = found(highs, model, scaled, limits)
    if (answer && (modelStatus === status.optimal || modelStatus === status.timeLimit)) return answer
    if (modelStatus === status.timeLimit) return { kind: 'failed', reason: 'time limit before any answer' }
    // "infeasible or unbounded" does not say which: the relaxation does
    const relaxed = outcomeOf(highs, program)
    if (relaxed.kind !== 'optimal') return relaxed
    return { kind: 'failed', reason: `HiGHS status ${modelStatus}` }
  })
}

/** HiGHS compiled to WebAssembly (npm highs). Loading is asynchronous, solving is not. */
export async function createHighsSolver(): Promise<Solver> {
  const highs = await loadHighs()
  return {
    name: 'HiGHS',
    solve: (lp) => withoutThrowing(() => obviousOutcome(lp) ?? outcomeOf(highs, lp)),
    solveInteger: (program, limits) => withoutThrowing(() => obviousIntegerOutcome(program) ?? integerOutcomeOf(highs, program, limits)),
  }
}

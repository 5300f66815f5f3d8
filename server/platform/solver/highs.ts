import highsModule, { type Highs, type Model, type ModelData } from 'highs'
import type { IntegerOutcome, IntegerProgram, LinearOutcome, LinearProgram, SearchLimits, Solver } from '#core/formulation/linear-program'
import { reducedCostsOf } from '#core/formulation/optimality'
import { equilibrated, obviousIntegerOutcome, obviousOutcome, withoutThrowing } from './equilibrate.js'

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

function optimum(model: Model, original: LinearProgram, scales: readonly number[]): LinearOutcome {
  const solution = model.getSolution()
  const rowDuals = original.rows.map((_, i) => (solution.rowDual[i] ?? Number.NaN) * (scales[i] ?? 1))
  return {
    kind: 'optimal',
    objective: model.getObjectiveValue(),
    x: [...solution.colValue],
    rowDuals,
    reducedCosts: reducedCostsOf(original, rowDuals),
  }
}

function outcomeOf(highs: Highs, original: LinearProgram): LinearOutcome {
  const { lp, scales } = equilibrated(original)
  const status = highs.constants.modelStatus
  return highs.withModel((model: Model): LinearOutcome => {
    // without presolve, which can end in "infeasible or unbounded" without saying which
    model.options.set({ output_flag: false, presolve: 'off' })
    model.passModel(modelOf(highs, lp))
    const { modelStatus } = model.run()
    if (modelStatus === status.optimal) return optimum(model, original, scales)
    if (modelStatus === status.infeasible) return { kind: 'infeasible' }
    if (modelStatus === status.unbounded) return { kind: 'unbounded' }
    return { kind: 'failed', reason: `HiGHS status ${modelStatus}` }
  })
}

/** What the search found, also where it ran out of time; null where it found nothing. */
function found(highs: Highs, model: Model, { relativeGap }: SearchLimits): IntegerOutcome | null {
  if (model.info.get('primal_solution_status') !== highs.constants.solutionStatus.feasible) return null
  const objective = model.getObjectiveValue()
  const bound = Number(model.info.get('mip_dual_bound'))
  const x = [...model.getSolution().colValue]
  return { kind: 'solved', objective, x, bound, proven: objective - bound <= relativeGap * Math.abs(objective) + ABSOLUTE_GAP }
}

/** A gap that counts as none where the cost itself is near zero. */
const ABSOLUTE_GAP = 1e-9

function integerOutcomeOf(highs: Highs, program: IntegerProgram, limits: SearchLimits): IntegerOutcome {
  const { lp } = equilibrated(program)
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
    model.passModel({ ...modelOf(highs, lp), integrality })
    const { modelStatus } = model.run()
    if (modelStatus === status.infeasible) return { kind: 'infeasible' }
    const answer = found(highs, model, limits)
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

import highsModule, { type Highs, type Model, type ModelData } from 'highs'
import type { LinearOutcome, LinearProgram, LinearSolver } from '#core/formulation/linear-program'
import { reducedCostsOf } from '#core/formulation/optimality'
import { equilibrated, obviousOutcome } from './equilibrate.js'

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

/** HiGHS compiled to WebAssembly (npm highs). Loading is asynchronous, solving is not. */
export async function createHighsSolver(): Promise<LinearSolver> {
  const highs = await loadHighs()
  return {
    name: 'HiGHS',
    solve(lp) {
      try {
        return obviousOutcome(lp) ?? outcomeOf(highs, lp)
      } catch (error) {
        return { kind: 'failed', reason: error instanceof Error ? error.message : String(error) }
      }
    },
  }
}

/**
 * A linear program in the neutral form that every solver adapter takes: minimise cost over `variables` within `rows`.
 * Names are generated (`x0`, `r0`), so that no identifier of the mill can upset a solver; results come back by position.
 */
export type LinearProgram = { readonly variables: readonly LinearVariable[]; readonly rows: readonly LinearRow[] }

/** `null` is no bound. */
export type LinearVariable = { readonly name: string; readonly cost: number; readonly lower: number | null; readonly upper: number | null }

/** `lower <= sum of coefficient x variable <= upper`; `columns` are positions in `variables`, ascending, each at most once. */
export type LinearRow = {
  readonly name: string
  readonly lower: number | null
  readonly upper: number | null
  readonly columns: readonly number[]
  readonly coefficients: readonly number[]
}

/** Only `optimal` carries numbers: solvers leave figures behind after other endings too, and those mean nothing. */
export type LinearOutcome =
  | {
      readonly kind: 'optimal'
      readonly objective: number
      readonly x: readonly number[]
      /** Change of the objective per unit of the row's right-hand side. */
      readonly rowDuals: readonly number[]
      /** Change of the objective per unit of the variable forced in. */
      readonly reducedCosts: readonly number[]
    }
  | { readonly kind: 'infeasible' }
  | { readonly kind: 'unbounded' }
  | { readonly kind: 'failed'; readonly reason: string }

/** A synchronous solver. It never throws: what goes wrong inside is `failed` with the reason. */
export type LinearSolver = { readonly name: string; solve(lp: LinearProgram): LinearOutcome }

/** A linear program in which the variables marked `true`, by position, must be whole numbers. */
export type IntegerProgram = LinearProgram & { readonly integer: readonly boolean[] }

/** When to stop: after so long, or once cost and proven bound are within this share of the cost. */
export type SearchLimits = { readonly timeLimitMs: number; readonly relativeGap: number }

/** `bound`: no answer costs less than this. `proven`: cost and bound are within the gap asked for. */
export type IntegerOutcome =
  | {
      readonly kind: 'solved'
      readonly objective: number
      readonly x: readonly number[]
      readonly bound: number
      readonly proven: boolean
    }
  | { readonly kind: 'infeasible' }
  | { readonly kind: 'unbounded' }
  | { readonly kind: 'failed'; readonly reason: string }

/** A synchronous solver of programs with whole numbers. It never throws. */
export type IntegerSolver = { readonly name: string; solveInteger(program: IntegerProgram, limits: SearchLimits): IntegerOutcome }

/** What both of the mill's solvers are. */
export type Solver = LinearSolver & IntegerSolver

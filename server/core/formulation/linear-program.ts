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
      /** Where the solver can go on from this answer. */
      readonly basis?: Basis | undefined
    }
  | { readonly kind: 'infeasible' }
  | { readonly kind: 'unbounded' }
  | { readonly kind: 'failed'; readonly reason: string }

/**
 * The vertex of an answer, named by what it rests on; rows as `number of columns + position` where columns and rows stand in one list. It makes
 * a start for the same program with other limits, or with rows added at its end.
 */
export type Basis = {
  /** Columns whose amounts the vertex works out from the rows it meets. */
  readonly basic: readonly number[]
  /** Rows met with equality, by position: as many as there are basic columns. */
  readonly met: readonly number[]
  /** Other columns, and met rows, that stand at their upper bound instead of their lower. */
  readonly atUpper: readonly number[]
}

/**
 * A synchronous solver. It never throws: what goes wrong inside is `failed` with the reason. `start` may spare it steps and changes no cost, at
 * most which of several cheapest answers is given.
 */
export type LinearSolver = { readonly name: string; solve(lp: LinearProgram, start?: Basis): LinearOutcome }

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

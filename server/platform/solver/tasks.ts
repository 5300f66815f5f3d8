import { alternatives, type Alternative, type AlternativesAsk, type IngredientOf } from '#core/formulation/alternatives'
import type { AssayTest } from '#core/formulation/assay-belief'
import { nextBestAssays, type AssayRanking } from '#core/formulation/assay-worth'
import { costOfCertainty, type CertaintyCost } from '#core/formulation/certainty-cost'
import { explain, type Explanation } from '#core/formulation/explain'
import type { Formulation } from '#core/formulation/formulate'
import { gatePrice, type GatePrice, type GateRequest } from '#core/formulation/gate-price'
import { limitCurve } from '#core/formulation/parametric'
import type { Curve, CurveRange, NoCurve } from '#core/formulation/parametric-curve'
import { priceCurve } from '#core/formulation/parametric-price'
import type { FormulaProblem } from '#core/formulation/problem'
import { cheapestPurchase, type Offer, type Repair } from '#core/formulation/repair'
import type { Side } from '#core/formulation/row-id'
import type { LoadsOutcome, LoadsRequest } from '#core/milling/make-loads'
import { createBothSolvers } from './both-solvers.js'
import { createLoadMaker } from './load-maker.js'
import { createMixSolver } from './mix-solver.js'
import { unpackProblem, type PackedProblem } from './packed-problem.js'

const formulateMix = await createMixSolver()
const solver = await createBothSolvers()
const makeLoadsOf = await createLoadMaker()

type Explained = {
  readonly problem: FormulaProblem
  readonly found: Formulation
  readonly budgetMs: number
  readonly fixed: readonly string[]
  /** The ingredient of each lot: all lots of one have one price. */
  readonly priceOf: IngredientOf
}
type CurveOf =
  | { readonly kind: 'limit'; readonly rowId: string; readonly side?: Side | undefined }
  | { readonly kind: 'price'; readonly ids: readonly string[] }
type Curved = { readonly problem: FormulaProblem; readonly of: CurveOf; readonly range: CurveRange }
type Repaired = { readonly problem: FormulaProblem; readonly offers: readonly Offer[] }

type Compared = {
  readonly problem: FormulaProblem
  readonly ingredientOf: IngredientOf
  readonly ask: AlternativesAsk
  readonly budgetMs: number
}
type Tested = { readonly problem: FormulaProblem; readonly tests: readonly AssayTest[]; readonly evaluate: number }

const leftOf = (budgetMs: number): (() => number) => {
  const end = performance.now() + budgetMs
  return () => end - performance.now()
}
const until = (budgetMs: number): (() => boolean) => {
  const left = leftOf(budgetMs)
  return () => left() > 0
}

/**
 * What a solver thread can be asked, by name. Arguments and answers cross threads, so they are plain data. A task is synchronous work
 * behind an `await` at most: the deadline ends the whole thread.
 */
export const TASKS = {
  formulate: (problem: PackedProblem): Promise<Formulation> => formulateMix(unpackProblem(problem)),
  /** `fixed`: rows that nobody may change, such as the batch or a medicine's dose. Past the budget what is left is left out. */
  explain: ({ problem, found, budgetMs, fixed, priceOf }: Explained): Explanation =>
    explain(problem, found, solver, { mayGoOn: until(budgetMs), mayChange: (rowId) => !fixed.includes(rowId), priceOf }),
  alternatives: ({ problem, ingredientOf, ask, budgetMs }: Compared): readonly Alternative[] =>
    alternatives(problem, ingredientOf, ask, solver, leftOf(budgetMs)),
  assayWorth: ({ problem, tests, evaluate }: Tested): AssayRanking => nextBestAssays(problem, tests, solver, { evaluate }),
  certaintyCost: (problem: FormulaProblem): CertaintyCost => costOfCertainty(problem, solver),
  curve: ({ problem, of, range }: Curved): Curve | NoCurve =>
    of.kind === 'limit' ? limitCurve(problem, of.rowId, range, solver, { side: of.side }) : priceCurve(problem, of.ids, range, solver),
  /** Past the budget no more break points are looked for. */
  gatePrice: ({ budgetMs, ...request }: GateRequest & { readonly budgetMs: number }): GatePrice =>
    gatePrice(request, solver, until(budgetMs)),
  makeLoads: (request: LoadsRequest): Promise<LoadsOutcome> => makeLoadsOf(request),
  repair: ({ problem, offers }: Repaired): Repair => cheapestPurchase(problem, offers, solver),
} as const

export type Tasks = typeof TASKS
export type TaskName = keyof Tasks
export type TaskInput<N extends TaskName> = Parameters<Tasks[N]>[0]
export type TaskOutput<N extends TaskName> = Awaited<ReturnType<Tasks[N]>>

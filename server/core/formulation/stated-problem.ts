import { formulate } from './formulate.js'
import type { Formulation } from './formulation.js'
import { formulaOfChance, type ChanceProblem } from './chance.js'
import { statementOfModel, type LinearModel } from './linear-model.js'
import { readMps, type MpsProblem } from './mps.js'
import { statementOfMulti, type MultiProblem } from './multi.js'
import { priceCurve, priceSteps, type PriceSteps } from './parametric-price.js'
import type { FormulaProblem } from './problem.js'
import { solveStatement, type AnySolver, type SolveOptions } from './solve-statement.js'
import { failed } from './statement-report.js'

/** Which ingredient's price runs, and between which prices. */
export type PriceParameter = { readonly ingredient: string; readonly from: number; readonly to: number }

/** Every kind of problem that can be stated, as `seed/reference/README.md` names them. */
export type StatedProblem =
  | { readonly kind: 'formula'; readonly problem: FormulaProblem }
  | { readonly kind: 'multi'; readonly problem: MultiProblem }
  | { readonly kind: 'lp'; readonly problem: { readonly model: LinearModel } }
  | { readonly kind: 'mps'; readonly problem: MpsProblem }
  | { readonly kind: 'chance-constrained'; readonly problem: ChanceProblem }
  | { readonly kind: 'parametric-price'; readonly problem: FormulaProblem; readonly parameter: PriceParameter }

/** How the cheapest answer moves with a price. */
export type PriceRun = { readonly status: 'priced' } & PriceSteps
export type StatedAnswer = Formulation | PriceRun

function answerPrices(problem: FormulaProblem, { ingredient, from, to }: PriceParameter, solver: AnySolver): StatedAnswer {
  const curve = priceCurve(problem, [ingredient], { from, to }, solver)
  if (curve.kind === 'curve') {
    const steps = priceSteps(curve)
    return steps ? { status: 'priced', ...steps } : failed('solver-error', 'the prices have no curve')
  }
  if (curve.reason === 'whole-amounts') return failed('unsupported', 'prices cannot run over whole amounts')
  // a problem without an answer says why by itself
  const plain = formulate(problem, solver)
  return plain.status === 'optimal' ? failed('solver-error', `no curve: ${curve.reason}`) : plain
}

function answerMps(problem: MpsProblem, solver: AnySolver, options: SolveOptions): Formulation {
  const reading = readMps(problem)
  if (reading.kind === 'fault') return failed('unsupported', `mps line ${reading.line}: ${reading.message}`)
  return solveStatement(statementOfModel(reading.model), solver, options)
}

/** The answer to a problem of any kind; pure and synchronous, checked as `formulate` and `solveStatement` say. */
export function answerStated(stated: StatedProblem, solver: AnySolver, options: SolveOptions = {}): StatedAnswer {
  switch (stated.kind) {
    case 'formula':
      return formulate(stated.problem, solver, options)
    case 'multi':
      return solveStatement(statementOfMulti(stated.problem), solver, options)
    case 'lp':
      return solveStatement(statementOfModel(stated.problem.model), solver, options)
    case 'mps':
      return answerMps(stated.problem, solver, options)
    case 'chance-constrained':
      return formulate(formulaOfChance(stated.problem), solver, options)
    case 'parametric-price':
      return answerPrices(stated.problem, stated.parameter, solver)
  }
}

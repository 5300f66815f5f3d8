import { answerStated, type StatedAnswer, type StatedProblem } from '#core/formulation/stated-problem'
import { formulate, type Formulation } from '#core/formulation/formulate'
import type { Solver } from '#core/formulation/linear-program'
import type { FormulaProblem } from '#core/formulation/problem'
import { failed } from '#core/formulation/statement-report'
import { figuresApart } from './figures-apart.js'
import { createGlpkSolver } from './glpk.js'
import { createHighsSolver } from './highs.js'
import { simplexFirst } from './simplex-first.js'

/** Whether another solver could do better: not where the problem itself is what cannot be solved. */
const worthAsking = (found: StatedAnswer): boolean =>
  found.status === 'failed'
    ? found.reason === 'solver-error' || found.reason === 'recheck' || found.reason === 'time-limit'
    : found.status === 'optimal' && found.search?.proven === false

/** Of two answers to one question, the one to be given: any that is not a failure, and of two unproven ones the cheaper. */
function better<A extends StatedAnswer>(first: A, second: A): A {
  if (second.status === 'failed') return first.status === 'failed' ? second : first
  if (first.status !== 'optimal' || second.status !== 'optimal' || second.search?.proven !== false) return second
  const distance = ({ objective, search }: { objective: number; search?: { bound: number } | undefined }) =>
    Math.abs(objective - (search?.bound ?? objective))
  return distance(first) < distance(second) ? first : second
}

/**
 * Asks the simplex, with GLPK for what it leaves (whole bags 48 ms against 1.4 s with HiGHS, measured on a busy machine); where the answer is not
 * believed or not proven, HiGHS is asked, and the solver that failed is loaded anew, because an aborted WebAssembly module stays broken.
 */
async function createAsker(): Promise<<A extends StatedAnswer>(ask: (solver: Solver) => A) => Promise<A>> {
  let quick = simplexFirst(await createGlpkSolver())
  let highs: Solver | null = null
  return async (ask) => {
    const first = ask(quick)
    if (!worthAsking(first)) return first
    if (first.status === 'failed') quick = simplexFirst(await createGlpkSolver())
    highs ??= await createHighsSolver()
    const second = ask(highs)
    if (second.status === 'failed') highs = null
    return better(first, second)
  }
}

/** Solves mixes. */
export async function createMixSolver(): Promise<(problem: FormulaProblem) => Promise<Formulation>> {
  const ask = await createAsker()
  return (problem) => ask((solver) => formulate(problem, solver))
}

/** A failure whose cause can be named is a refusal that names it. */
function withCause(found: StatedAnswer, stated: StatedProblem): StatedAnswer {
  if (found.status !== 'failed' || (found.reason !== 'recheck' && found.reason !== 'solver-error')) return found
  const apart = figuresApart(stated)
  return apart === null ? found : failed('unsupported', apart)
}

/** Answers problems of every kind. */
export async function createStatedSolver(): Promise<(stated: StatedProblem) => Promise<StatedAnswer>> {
  const ask = await createAsker()
  return async (stated) => withCause(await ask((solver) => answerStated(stated, solver)), stated)
}

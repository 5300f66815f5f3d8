import type { z } from 'zod'
import type { AlternativesView } from '#contract/solving'
import type { Alternative, AlternativesAsk } from '#core/formulation/alternatives'
import { fieldError } from '#core/errors'
import type { TaskAnswer } from '#platform/solver/pool'
import { ingredientOfMedicine } from './medicated-lots.js'
import { prepareMix, type SolveRequest } from './prepare-mix.js'
import { tellMix, type Means } from './solve-mix.js'

/** People wait for it, and see what was found until then. */
const BUDGET_MS = 3_000
const DEADLINE_MS = 2 * BUDGET_MS

/** No time for any: then the cheapest is the only answer, as where there is none, and says that it was not found. */
const notFound = ({ reason, detail }: Extract<TaskAnswer<never>, { kind: 'failed' }>): Alternative => ({
  kind: 'cheapest',
  ingredientId: null,
  atMost: null,
  proven: false,
  found: { status: 'failed', reason, detail },
  movedPct: null,
})

/** Other mixes inside the same limits, beside the cheapest: without an ingredient, with fewer of them, and the most different within a cost. */
export const alternativeMixes = async (
  means: Means,
  request: SolveRequest,
  ask: AlternativesAsk,
): Promise<z.output<typeof AlternativesView>> => {
  const prepared = await prepareMix(means, request)
  const stranger = ask.leaveOut.findIndex((id) => !prepared.counted.some(({ ingredientId }) => ingredientId === id))
  if (stranger >= 0) throw fieldError('bad-input', `leaveOut.${stranger}`, 'unknown', 'no lot of it may enter this mix')
  const answer = await means.pool.run(
    'alternatives',
    {
      problem: prepared.problem.problem,
      ingredientOf: Object.fromEntries(prepared.counted.map(({ id, ingredientId }) => [id, ingredientId])),
      ask,
      budgetMs: BUDGET_MS,
    },
    { deadlineMs: DEADLINE_MS },
  )
  const mixes = []
  for (const { found, ingredientId, ...one } of answer.kind === 'failed' ? [notFound(answer)] : answer.value) {
    const { view } = tellMix(means, request, prepared, found)
    mixes.push({ ...one, ingredientId: ingredientId === null ? null : (ingredientOfMedicine(ingredientId) ?? ingredientId), mix: view })
  }
  return { mixes }
}

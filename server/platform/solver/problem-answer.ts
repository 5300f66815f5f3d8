import type { FailureReason } from '#core/formulation/formulation'
import type { StatedAnswer } from '#core/formulation/stated-problem'

/** 0: an answer, infeasible included; 2: malformed; 3: not solved, because such problems are not supported or no answer could be proven. */
export type ExitCode = 0 | 2 | 3

/** What a failure is called. What a solver or the re-check says is for those who mend them, and may be any text. */
const WHY: Readonly<Record<FailureReason, string>> = {
  'time-limit': 'no answer was found in the time allowed',
  'solver-error': 'neither solver could work the problem through; figures of very different size are the usual cause',
  recheck: 'no solver gave an answer that holds when checked; figures of very different size are the usual cause',
  unsupported: 'such a problem is not solved here',
  'unknown-content': 'a limit needs a content that is not known',
}

/** Every member stands in every answer, null where the status has none; what only some answers have stands after them. */
function answerOf(found: StatedAnswer) {
  if (found.status === 'priced') {
    const { atLow, atHigh, breakPoints } = found
    return { status: 'optimal', atLow, atHigh, breakPoints }
  }
  const optimal = found.status === 'optimal' ? found : null
  return {
    status: optimal?.search?.proven === false ? 'feasible' : found.status,
    objective: optimal?.objective ?? null,
    amounts: optimal?.amounts ?? null,
    binding: optimal?.binding ?? null,
    shadowPrices: optimal?.shadowPrices ?? null,
    reducedCosts: optimal?.reducedCosts ?? null,
    conflict: found.status === 'infeasible' ? found.conflict : null,
    ...(optimal?.search ? { bound: optimal.search.bound, proven: optimal.search.proven } : {}),
    ...(optimal?.certainty ? { certainty: optimal.certainty } : {}),
    ...(found.status === 'failed' ? { reason: found.reason, detail: WHY[found.reason] } : {}),
  }
}

/** What the command says of an answer, and what it ends with. */
export type Telling =
  | { readonly kind: 'answer'; readonly code: ExitCode; readonly answer: ReturnType<typeof answerOf> }
  | { readonly kind: 'message'; readonly code: ExitCode; readonly message: string }

/** What cannot be solved at all is said on standard error alone; a failure of the solvers is an answer that says so. */
export function tellingOf(found: StatedAnswer): Telling {
  if (found.status === 'failed' && found.reason === 'unsupported')
    return { kind: 'message', code: 3, message: `unsupported: ${found.detail}` }
  return { kind: 'answer', code: found.status === 'failed' ? 3 : 0, answer: answerOf(found) }
}

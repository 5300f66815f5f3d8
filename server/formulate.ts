import type { FailureReason } from '#core/formulation/formulation'
import type { StatedAnswer, StatedProblem } from '#core/formulation/stated-problem'
import { failed } from '#core/formulation/statement-report'
import { createStatedSolver } from '#platform/solver/mix-solver'
import { readProblemFile } from '#platform/solver/problem-file'
import { readTextFile } from '#platform/solver/problem-text'

/** 0: an answer, infeasible included; 2: malformed; 3: not solved, because such problems are not supported or no answer could be proven. */
type ExitCode = 0 | 2 | 3

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

function refuse(code: ExitCode, message: string): ExitCode {
  process.stderr.write(`${message}\n`)
  return code
}

/** What cannot be solved at all is said on standard error alone; a failure of the solvers is an answer that says so. */
function tell(found: StatedAnswer): ExitCode {
  if (found.status === 'failed' && found.reason === 'unsupported') return refuse(3, `unsupported: ${found.detail}`)
  process.stdout.write(`${JSON.stringify(answerOf(found), null, 1)}\n`)
  return found.status === 'failed' ? 3 : 0
}

/** A solver that is short of memory throws; so the whole must be a failure that is told. */
async function solved(stated: StatedProblem): Promise<StatedAnswer> {
  try {
    const solve = await createStatedSolver()
    return await solve(stated)
  } catch (error) {
    return failed('solver-error', String(error))
  }
}

async function run(paths: readonly string[]): Promise<ExitCode> {
  const [path] = paths
  if (path === undefined || paths.length > 1) return refuse(2, 'usage: npm run -s formulate -- FILE')
  const read = await readTextFile(path)
  if (!read.ok) return refuse(2, read.why)
  const file = readProblemFile(read.text)
  switch (file.kind) {
    case 'malformed':
      return refuse(2, file.message)
    case 'unsupported':
      return refuse(3, `unsupported: ${file.what}`)
    case 'problem':
      return tell(await solved(file.stated))
    default:
      return file satisfies never
  }
}

process.exitCode = await run(process.argv.slice(2))

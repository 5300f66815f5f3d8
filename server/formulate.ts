import { readFile } from 'node:fs/promises'
import type { StatedAnswer } from '#core/formulation/stated-problem'
import { createStatedSolver } from '#platform/solver/mix-solver'
import { readProblemFile } from '#platform/solver/problem-file'

/** 0: an answer, infeasible included; 1: no answer could be found; 2: malformed; 3: not supported. */
type ExitCode = 0 | 1 | 2 | 3

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
    ...(found.status === 'failed' ? { reason: found.reason, detail: found.detail } : {}),
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
  return found.status === 'failed' ? 1 : 0
}

async function run(path: string | undefined): Promise<ExitCode> {
  if (path === undefined) return refuse(2, 'usage: npm run -s formulate -- FILE')
  const text = await readFile(path, 'utf8').catch((error: unknown) => error)
  if (typeof text !== 'string') return refuse(2, `${path}: cannot be read: ${text instanceof Error ? text.message : String(text)}`)
  const file = readProblemFile(text)
  switch (file.kind) {
    case 'malformed':
      return refuse(2, file.message)
    case 'unsupported':
      return refuse(3, `unsupported: ${file.what}`)
    case 'problem': {
      const solve = await createStatedSolver()
      return tell(await solve(file.stated))
    }
    default:
      return file satisfies never
  }
}

process.exitCode = await run(process.argv[2])

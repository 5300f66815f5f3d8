import type { StatedAnswer, StatedProblem } from '#core/formulation/stated-problem'
import { failed } from '#core/formulation/statement-report'
import { createStatedSolver } from '#platform/solver/mix-solver'
import { tellingOf, type ExitCode } from '#platform/solver/problem-answer'
import { readProblemFile } from '#platform/solver/problem-file'
import { readTextFile } from '#platform/solver/problem-text'

function refuse(code: ExitCode, message: string): ExitCode {
  process.stderr.write(`${message}\n`)
  return code
}

function tell(found: StatedAnswer): ExitCode {
  const told = tellingOf(found)
  if (told.kind === 'message') return refuse(told.code, told.message)
  process.stdout.write(`${JSON.stringify(told.answer, null, 1)}\n`)
  return told.code
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

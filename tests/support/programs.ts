import { spawnSync } from 'node:child_process'

/** Whether these programs are installed here; where one is not, it says so once, and the test that needs it is skipped. */
export const has = (...programs: readonly string[]): boolean => {
  const missing = programs.filter((program) => spawnSync(program, ['--version'], { stdio: 'ignore' }).error !== undefined)
  if (missing.length > 0) process.stderr.write(`Skipped: ${missing.join(' and ')} not installed here\n`)
  return missing.length === 0
}

// How long each solver takes for the published one-mix cases, re-check included. Median of many, one thread.
import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { formulate } from '../../dist/server/core/formulation/formulate.js'
import { createGlpkSolver } from '../../dist/server/platform/solver/glpk.js'
import { createHighsSolver } from '../../dist/server/platform/solver/highs.js'
import { simplexFirst } from '../../dist/server/platform/solver/simplex-first.js'
import { readProblemFile } from '../../dist/server/platform/solver/problem-file.js'
import { root } from '../build.mjs'
import { medianOf, printTable, range } from './figures.mjs'

const ROUNDS = 30

function timesOf(problem, solver) {
  const { status } = formulate(problem, solver)
  const times = range(ROUNDS).map(() => {
    const started = performance.now()
    formulate(problem, solver)
    return performance.now() - started
  })
  return { status, ms: medianOf(times).toFixed(2) }
}

export async function measureCases() {
  const folder = join(root, 'seed', 'reference', 'cases')
  const cases = readdirSync(folder).flatMap((name) => {
    const file = readProblemFile(readFileSync(join(folder, name), 'utf8'))
    return file.kind === 'problem' ? [{ name: name.replace('.json', ''), problem: file.problem }] : []
  })
  const glpk = await createGlpkSolver()
  const solvers = [simplexFirst(glpk), glpk, await createHighsSolver()]
  const rows = cases.map(({ name, problem }) => {
    const runs = solvers.map((solver) => timesOf(problem, solver))
    return [name, ...runs.map(({ ms }) => ms), [...new Set(runs.map(({ status }) => status))].join(' and ')]
  })
  printTable(['case', 'simplex ms', 'GLPK ms', 'HiGHS ms', 'status'], rows)
}

// npm run bench: how long each solver takes for the published one-mix cases, re-check included. Median of many, one thread.
import { readFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { buildOrStop, root } from './build.mjs'

buildOrStop(['client', 'server'])
const { createGlpkSolver } = await import('../dist/server/platform/solver/glpk.js')
const { createHighsSolver } = await import('../dist/server/platform/solver/highs.js')
const { readProblemFile } = await import('../dist/server/platform/solver/problem-file.js')
const { formulate } = await import('../dist/server/core/formulation/formulate.js')

const ROUNDS = 30
const folder = join(root, 'seed', 'reference', 'cases')
const cases = readdirSync(folder).flatMap((name) => {
  const file = readProblemFile(readFileSync(join(folder, name), 'utf8'))
  return file.kind === 'problem' ? [{ name: name.replace('.json', ''), problem: file.problem }] : []
})
const solvers = { glpk: await createGlpkSolver(), highs: await createHighsSolver() }

console.log(
  `${'case'.padEnd(44)}${Object.keys(solvers)
    .map((name) => `${name} ms`.padStart(12))
    .join('')}   status`,
)
for (const { name, problem } of cases) {
  const runs = Object.values(solvers).map((solver) => median(() => formulate(problem, solver)))
  const statuses = new Set(runs.map(({ answer }) => answer.status))
  console.log(`${name.padEnd(44)}${runs.map(({ ms }) => ms.toFixed(2).padStart(12)).join('')}   ${[...statuses].join(' and ')}`)
}

function median(work) {
  let answer = work()
  const times = Array.from({ length: ROUNDS }, () => {
    const started = performance.now()
    answer = work()
    return performance.now() - started
  })
  times.sort((a, b) => a - b)
  return { ms: times[ROUNDS / 2], answer }
}

// What certainty on three nutrients costs in time: the same 200 formulas, plain and certain in turn.
import { formulate } from '../../dist/server/core/formulation/formulate.js'
import { createGlpkSolver } from '../../dist/server/platform/solver/glpk.js'
import { simplexFirst } from '../../dist/server/platform/solver/simplex-first.js'
import { formula, withCertainty } from './formulas.mjs'
import { medianOf, quantileOf, range } from './figures.mjs'

const FORMULAS = 200
const TURNS = 5

/** The median of several turns each, taken alternately, so that a busy moment of the machine does not count for one of them. */
function ratioOf(seed, solver) {
  const pair = [formula(seed), formula(seed, withCertainty)]
  const times = [[], []]
  for (let turn = 0; turn < TURNS; turn += 1)
    for (const [i, problem] of pair.entries()) {
      const started = performance.now()
      const found = formulate(problem, solver)
      times[i].push(performance.now() - started)
      if (found.status !== 'optimal') throw new Error(`formula ${seed}: ${found.status}`)
    }
  const [plain, certain] = times.map((some) => medianOf(some))
  return { ratio: certain / plain, plain, certain }
}

export async function measureCertainty() {
  const solver = simplexFirst(await createGlpkSolver())
  for (const seed of range(20)) ratioOf(seed + 1, solver)
  const found = range(FORMULAS).map((i) => ratioOf(1000 + i, solver))
  const ratios = found.map(({ ratio }) => ratio)
  const ms = (key) => medianOf(found.map((one) => one[key])).toFixed(2)
  console.log(`\nCertainty of 0.9 on protein, digestible lysine and available phosphorus, ${FORMULAS} formulas`)
  console.log(`plain ${ms('plain')} ms, certain ${ms('certain')} ms at the median`)
  console.log(
    `certain / plain: median ${medianOf(ratios).toFixed(2)} (goal 4), 90th percentile ${quantileOf(ratios, 0.9).toFixed(2)} (goal 10)`,
  )
}

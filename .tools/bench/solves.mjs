// Solves a second of one formula, by Kinu through its pool and by the bare libraries, and how many of the answers are right.
import { formulate } from '../../dist/server/core/formulation/formulate.js'
import { limitsOf, programOf } from '../../dist/server/core/formulation/program.js'
import { createGlpkSolver } from '../../dist/server/platform/solver/glpk.js'
import { createHighsSolver } from '../../dist/server/platform/solver/highs.js'
import { createSolverPool } from '../../dist/server/platform/solver/pool.js'
import { simplexFirst } from '../../dist/server/platform/solver/simplex-first.js'
import { KINDS, LIMITS, LOTS, formula, limitCount } from './formulas.mjs'
import { openLibraries } from './libraries.mjs'
import { medianOf, percent, printTable, range } from './figures.mjs'

const OF_EACH_KIND = 25
const AT_ONCE = 20
const ROUNDS = 25
/** Answers agree to a millionth. */
const SAME = 1e-6

const programOfProblem = (problem) => programOf(limitsOf(problem))
const near = (a, b) => Math.abs(a - b) <= SAME * Math.max(Math.abs(b), 1e-9)
const agrees = (found, truth) => found.kind === truth.kind && (truth.kind !== 'optimal' || near(found.objective, truth.objective))
const answerOf = (found) => ({ kind: found.status, objective: found.objective })

function checkShape() {
  const problem = formula(1)
  const [lots, limits] = [problem.ingredients.length, limitCount(problem)]
  if (lots !== LOTS || limits !== LIMITS) throw new Error(`the formula has ${lots} lots and ${limits} limits`)
}

/** Each contestant answers a list of prepared problems, one after the other or at once. */
async function openContestants() {
  const { libraries, absent } = await openLibraries()
  const glpk = await createGlpkSolver()
  const highs = await createHighsSolver()
  const own = simplexFirst(glpk)
  const inThread = (name, solver) => ({
    name,
    prepare: (problem) => problem,
    all: (problems) => problems.map((problem) => answerOf(formulate(problem, solver))),
  })
  const pool = createSolverPool({ threads: 1, deadlineMs: 10_000 })
  const pair = createSolverPool({ threads: 2, deadlineMs: 10_000 })
  const kinu = [
    {
      name: 'Kinu, through the pool',
      prepare: (problem) => problem,
      all: async (problems) => (await Promise.all(problems.map((problem) => pool.formulate(problem)))).map(answerOf),
    },
    {
      name: 'Kinu, through a pool of two threads',
      prepare: (problem) => problem,
      all: async (problems) => (await Promise.all(problems.map((problem) => pair.formulate(problem)))).map(answerOf),
    },
    inThread('Kinu, in the thread itself', own),
    inThread('the same work of Kinu with glpk.js for its simplex', glpk),
    inThread('the same work of Kinu with HiGHS for its simplex', highs),
  ]
  const simplex = {
    name: 'simplex of Kinu, alone',
    prepare: programOfProblem,
    all: (programs) => programs.map((program) => own.solve(program)),
  }
  const bare = libraries.map((library) => ({
    name: library.name,
    prepare: (problem) => library.prepare(programOfProblem(problem)),
    all: (models) => models.map(attempt((model) => library.solve(model))),
  }))
  return { contestants: [...kinu, simplex, ...bare], absent, close: () => Promise.all([pool.close(), pair.close()]) }
}

const attempt = (solve) => (model) => {
  try {
    return solve(model)
  } catch (error) {
    return { kind: 'failed', detail: String(error) }
  }
}

async function sharesRight(contestants) {
  const [glpk, highs] = [await createGlpkSolver(), await createHighsSolver()]
  const shares = new Map(contestants.map(({ name }) => [name, {}]))
  for (const [kind, make] of Object.entries(KINDS)) {
    const problems = range(OF_EACH_KIND).map((seed) => make(seed + 1))
    const truths = problems.map((problem) => highs.solve(programOfProblem(problem)))
    const seconds = problems.map((problem) => glpk.solve(programOfProblem(problem)))
    const apart = truths.filter((truth, i) => !agrees(seconds[i], truth)).length
    if (apart > 0) console.log(`${kind}: GLPK and HiGHS differ on ${apart} of ${problems.length}`)
    for (const { name, prepare, all } of contestants) {
      const found = await all(problems.map(prepare))
      const against = name === 'HiGHS' ? seconds : truths
      shares.get(name)[kind] = found.filter((one, i) => agrees(one, against[i])).length / problems.length
    }
  }
  return shares
}

/**
 * Milliseconds a solve, the median of rounds in which every contestant has its turn. The problems are made anew for each, as a mill makes each
 * of its own: the same objects once more are read out of the processor's own memory, which flatters whoever does not copy them.
 */
async function timesOf(contestants) {
  const problems = range(AT_ONCE).map((i) => formula(100 + i))
  const times = contestants.map(() => [])
  for (let round = -2; round < ROUNDS; round += 1)
    for (const [i, { prepare, all }] of contestants.entries()) {
      const prepared = structuredClone(problems).map(prepare)
      const started = performance.now()
      await all(prepared)
      if (round >= 0) times[i].push((performance.now() - started) / AT_ONCE)
    }
  return new Map(contestants.map(({ name }, i) => [name, medianOf(times[i])]))
}

export async function measureSolves() {
  checkShape()
  const { contestants, absent, close } = await openContestants()
  const shares = await sharesRight(contestants)
  const times = await timesOf(contestants)
  await close()
  console.log(
    `\nOne formula of ${LOTS} lots and ${LIMITS} limits; right: class and cost to a millionth, ${OF_EACH_KIND} problems of each kind`,
  )
  const rows = contestants.map(({ name }) => {
    const right = Object.values(shares.get(name))
    const perSecond = 1000 / times.get(name)
    const share = right.reduce((sum, one) => sum + one, 0) / right.length
    return [name, times.get(name).toFixed(2), perSecond.toFixed(0), ...right.map(percent), (perSecond * share).toFixed(0)]
  })
  printTable(['', 'ms', 'solves/s', ...Object.keys(KINDS), 'right/s'], rows)
  for (const name of absent) console.log(`${name}: skipped, not installed`)
  const [pool, thread, bare] = ['Kinu, through the pool', 'Kinu, in the thread itself', 'glpk.js'].map((name) => times.get(name))
  console.log(
    `The pool adds ${percent(pool / thread - 1)} % to the same work in the thread itself; ${(pool / bare).toFixed(2)} times the bare glpk.js`,
  )
}

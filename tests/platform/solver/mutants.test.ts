import { describe, expect, test } from 'vitest'
import type { StatedAnswer } from '#core/formulation/stated-problem'
import { createStatedSolver } from '#platform/solver/mix-solver'
import { readProblemFile } from '#platform/solver/problem-file'
import { readCase } from '../../core/formulation/reference-cases.js'
import { mutant } from './mutants.js'

const solve = await createStatedSolver()

async function answerTo(text: string): Promise<StatedAnswer | string> {
  const file = readProblemFile(text)
  return file.kind === 'problem' ? solve(file.stated) : file.kind
}
const isClear = (found: StatedAnswer | string): boolean =>
  typeof found === 'string' || found.status !== 'failed' || found.reason === 'unsupported'

// ten of these ended as `failed`
test('problem files with figures up to a million times too large or too small end as an answer or as a refusal', async () => {
  const unclear: number[] = []
  for (let seed = 0; seed < 600; seed += 1) if (!isClear(await answerTo(mutant(seed)))) unclear.push(seed)
  expect(unclear).toEqual([])
}, 120_000)

type Limits = { max?: number }
type Holding = { readonly problem: { readonly ingredients: readonly (Limits & { readonly id: string })[] } }

describe('of figures far apart', () => {
  // both searches take 1e-5 for whole: with a most of a millionth to a fifth of one they gave "infeasible", or a cost below any true one
  test.each([0.00001, 0.0002, 0.19])('a whole amount of at most %s is none', async (max) => {
    const withMost = (most: number): string => {
      const { problem } = readCase<Holding>('semicontinuous-integer')
      return JSON.stringify({
        problem: { ...problem, ingredients: problem.ingredients.map((one, i) => (i === 2 ? { ...one, max: most } : one)) },
      })
    }
    const found = await answerTo(withMost(max))
    const none = await answerTo(withMost(0))
    if (typeof found === 'string' || found.status !== 'optimal') throw new Error(JSON.stringify(found))
    expect(found.objective).toBeCloseTo(typeof none !== 'string' && none.status === 'optimal' ? none.objective : Number.NaN, 9)
    expect(found.search?.proven).toBe(true)
  })

  test('a row whose own sides cross is named as what cannot hold', async () => {
    const model = { vars: [{ id: 'x', cost: 1 }], rows: [{ id: 'r', coefs: { x: 1 }, lo: 2000, hi: 0.04 }] }
    expect(await answerTo(JSON.stringify({ kind: 'lp', problem: { model } }))).toEqual({ status: 'infeasible', conflict: ['r'] })
  })

  test('an answer of what costs next to nothing is proven beside what is dear', async () => {
    const ingredients = [
      { id: 'water', cost: 1e-11 },
      { id: 'oil', cost: 2 },
    ]
    const linear = [{ id: 'wet', coefs: { water: 1, oil: 1 }, min: 3 }]
    expect(await answerTo(JSON.stringify({ problem: { ingredients, linear } }))).toMatchObject({ status: 'optimal', objective: 3e-11 })
  })

  test('what cannot be proven is refused, naming the two that lie furthest apart', async () => {
    const found = await answerTo(mutant(751))
    expect(found).toMatchObject({ status: 'failed', reason: 'unsupported' })
    expect(found).toHaveProperty(
      'detail',
      expect.stringMatching(/^problem\.\S+: \S+ lies too far from \S+ \(problem\.\S+\) for an answer to be proven/),
    )
  })
})

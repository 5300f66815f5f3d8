import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { MixView } from '#contract/formulas'
import { AlternativesView, AssayWorthView, CurveView, ExplanationView } from '#contract/solving'
import type { SolverPool } from '#platform/deps'
import { createSolverPool } from '#platform/solver/pool'
import { prepareMill } from '../../support/builders/mill.js'
import { limitsOf } from '../../support/builders/formulas.js'
import { openMill } from '../../support/mill.js'

/** No time at all for any task, whatever its own deadline: a warm thread finds in less than a thousandth of a second that there is no mix. */
const threads = createSolverPool({ threads: 1, deadlineMs: 0 })
const hasty: SolverPool = { ...threads, run: (name, input) => threads.run(name, input, { deadlineMs: 0 }) }
const mill = await openMill({ pool: hasty })
beforeAll(() => prepareMill(mill.db))
afterAll(() => threads.close())

/** Every ingredient of the book, eight limits that ask for much certainty. */
const nutrients = (['CP', 'Lys', 'Met', 'Thr', 'Trp', 'Ca', 'totP', 'Na'] as const).map((nutrient) => ({
  nutrient,
  min: 0.1,
  certainty: 0.999,
}))
const body = { stage: 'layer_peak', limits: limitsOf({ nutrients }), lots: 'book' }
const ask = async (path: string, more: object = {}) => {
  const reply = await (await mill.as('nutritionist')).post(path, { ...body, ...more })
  expect(reply.status, reply.text).toBe(200)
  return reply
}

describe('a deadline that is reached is an answer, the same from every endpoint that solves', () => {
  it('of a mix', async () => {
    expect((await ask('/solve')).as(MixView)).toMatchObject({ kind: 'failed', reason: 'time-limit', amounts: [] })
  })
  it('of an explanation', async () => {
    expect((await ask('/solve/explain')).as(ExplanationView)).toMatchObject({ kind: 'failed', reason: 'time-limit', limits: [] })
  })
  it('of a curve', async () => {
    const row = 'nutrient:CP:min'
    const found = (await ask('/solve/curve', { of: { kind: 'limit', row }, from: 0.1, to: 40 })).as(CurveView)
    expect(found).toMatchObject({ reason: 'time-limit', points: [] })
  })
  it('of other mixes', async () => {
    const { mixes } = (await ask('/solve/alternatives')).as(AlternativesView)
    expect(mixes).toMatchObject([{ kind: 'cheapest', proven: false, mix: { kind: 'failed', reason: 'time-limit' } }])
  })
  it('of the worth of a test', async () => {
    expect((await ask('/solve/assay-worth')).as(AssayWorthView)).toEqual({ reason: 'time-limit', tests: [] })
  })
})

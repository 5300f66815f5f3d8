import { describe, expect, test } from 'vitest'
import { pearsonDouble, pearsonSquare, pearsonWithFixed, scaleShares, type PearsonFeed, type PearsonPair } from '#core/formulation/pearson'
import { readCase } from './reference-cases.js'

type Case<P, E> = { readonly problem: P; readonly expected: E }
type Square = { readonly target: number; readonly first: PearsonFeed; readonly second: PearsonFeed; readonly total?: number }
type SquareAnswer = {
  readonly partsFirst: number
  readonly partsSecond: number
  readonly fractionFirst: number
  readonly fractionSecond: number
  readonly amountFirst?: number
}

const near = (actual: number, wanted: number): void => expect(Math.abs(actual - wanted)).toBeLessThanOrEqual(1e-9 * Math.abs(wanted))

describe('the square', () => {
  test.each(['pearson-maize-soya', 'pearson-barley-cottonseed-600lb', 'pearson-hay-silage'])('%s', (id) => {
    const { problem, expected } = readCase<Case<Square, SquareAnswer>>(id)
    const found = pearsonSquare(problem.target, problem.first, problem.second)
    if (found.kind !== 'mix') throw new Error(found.reason)
    near(found.partsFirst, expected.partsFirst)
    near(found.partsSecond, expected.partsSecond)
    near(found.fractionFirst, expected.fractionFirst)
    near(found.fractionSecond, expected.fractionSecond)
    if (problem.total !== undefined && expected.amountFirst !== undefined) near(problem.total * found.fractionFirst, expected.amountFirst)
  })

  test('45 % and 8.23 % to 18 % take 9.77 and 27 parts (common practice, no source)', () => {
    const found = pearsonSquare(18, { name: 'soya', value: 45 }, { name: 'maize', value: 8.23 })
    expect(found).toMatchObject({ kind: 'mix', partsFirst: expect.closeTo(9.77, 9) as number, partsSecond: 27 })
  })

  test('cannot reach a target outside its feeds, nor mix two feeds that are both the target into one answer', () => {
    const { problem } = readCase<Case<Square, unknown>>('pearson-target-outside')
    expect(pearsonSquare(problem.target, problem.first, problem.second)).toEqual({ kind: 'cannot', reason: 'target-outside' })
    expect(pearsonSquare(18, { name: 'a', value: 18 }, { name: 'b', value: 18 })).toEqual({ kind: 'cannot', reason: 'target-outside' })
    expect(pearsonSquare(Number.NaN, { name: 'a', value: 8 }, { name: 'b', value: 18 }).kind).toBe('cannot')
  })

  test('beside a fixed ingredient', () => {
    type Fixed = Square & { readonly total: number; readonly fixed: readonly (PearsonFeed & { readonly amount: number })[] }
    const { problem, expected } =
      readCase<Case<Fixed, Record<'requiredConcentrationOfRest' | 'amountFirst' | 'amountSecond', number>>>('pearson-with-fixed-ingredient')
    const found = pearsonWithFixed(problem.total, problem.target, problem.fixed, problem)
    if (found.kind !== 'mix') throw new Error(found.reason)
    near(found.requiredConcentrationOfRest, expected.requiredConcentrationOfRest)
    near(found.amountFirst, expected.amountFirst)
    near(found.amountSecond, expected.amountSecond)
    expect(pearsonWithFixed(100, 18, [{ name: 'bran', value: 16, amount: 100 }], problem)).toEqual({ kind: 'cannot', reason: 'no-mixture' })
  })

  test('to two targets with three feeds', () => {
    type Double = { readonly targets: PearsonPair; readonly feeds: readonly [Feed, Feed, Feed] }
    type Feed = { readonly name: string; readonly values: PearsonPair }
    const { problem, expected } =
      readCase<Case<Double, { readonly fractions: Readonly<Record<string, number>> }>>('pearson-double-corn-silage-soy')
    const [a, b, c] = problem.feeds
    const found = pearsonDouble(problem.targets, [a.values, b.values, c.values])
    if (found.kind !== 'mix') throw new Error(found.reason)
    for (const [i, { name }] of problem.feeds.entries()) near(found.fractions[i] ?? Number.NaN, expected.fractions[name] ?? Number.NaN)
    expect(pearsonDouble([50, 1.2], [a.values, b.values, c.values])).toEqual({ kind: 'cannot', reason: 'target-outside' })
    expect(pearsonDouble([16, 1.2], [a.values, a.values, c.values])).toEqual({ kind: 'cannot', reason: 'no-mixture' })
  })
})

test('shares of a formula scale to the batch', () => {
  const { problem, expected } =
    readCase<Case<{ readonly shares: Record<string, number>; readonly batch: number }, { readonly amounts: Record<string, number> }>>(
      'scale-formula-to-batch',
    )
  const amounts = scaleShares(problem.shares, problem.batch)
  expect(Object.keys(amounts)).toEqual(Object.keys(expected.amounts))
  for (const [id, amount] of Object.entries(amounts)) near(amount, expected.amounts[id] ?? Number.NaN)
})

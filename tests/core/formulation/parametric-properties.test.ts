import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { formulate } from '#core/formulation/formulate'
import { limitCurve } from '#core/formulation/parametric'
import type { Curve } from '#core/formulation/parametric-curve'
import { entryOf, limitAt, placeOf, withLimit } from '#core/formulation/parametric-limit'
import { priceCurve, withPrice } from '#core/formulation/parametric-price'
import type { FormulaProblem } from '#core/formulation/problem'
import { limitsOf, programOf } from '#core/formulation/program'
import { limitRange, priceRanges } from '#core/formulation/ranges'
import { createGlpkSolver } from '#platform/solver/glpk'
import { createHighsSolver } from '#platform/solver/highs'
import { aProblem } from './random-blends.js'

const glpk = await createGlpkSolver()
const highs = await createHighsSolver()
const seeded = { seed: 20261125, numRuns: 320 }

/** The independent answer: HiGHS on the whole problem, solved anew. */
function costBy(problem: FormulaProblem): number | null {
  const outcome = highs.solve(programOf(limitsOf(problem)))
  return outcome.kind === 'optimal' ? outcome.objective : null
}

function onCurve({ points }: Curve, at: number): number {
  const after = Math.max(
    1,
    points.findIndex((point) => point.at >= at),
  )
  const [a, b] = [points[after - 1], points[after]]
  if (!a || !b) return Number.NaN
  return a.cost + ((b.cost - a.cost) * (at - a.at)) / (b.at - a.at)
}

const limitIdsOf = (problem: FormulaProblem): string[] => {
  const limits = limitsOf(problem)
  return [...new Set([...limits.rows, ...limits.bounds].map((one) => one.id))]
}

function expectShape({ points }: Curve, sign: 1 | -1): void {
  const slopes = points.slice(1).map((point) => point.slopeLeft ?? Number.NaN)
  const size = Math.max(1e-9, ...slopes.map(Math.abs))
  for (const [i, slope] of slopes.entries()) if (i > 0) expect(sign * (slope - (slopes[i - 1] ?? Number.NaN))).toBeGreaterThan(-1e-6 * size)
}

describe('curves of random problems', { timeout: 180_000 }, () => {
  test('the cost over a limit equals the cost solved anew, is convex, and ends where mixes end', () => {
    const seen = { exact: 0, breaks: 0, curved: 0, ends: 0 }
    fc.assert(
      fc.property(
        aProblem,
        fc.nat(),
        fc.array(fc.double({ min: 0.001, max: 0.999, noNaN: true }), { minLength: 3, maxLength: 3 }),
        (problem, which, parts) => {
          const ids = limitIdsOf(problem)
          const rowId = ids[which % ids.length] ?? ''
          const place = placeOf(problem, rowId)
          if (!place) throw new Error(rowId)
          const now = limitAt(problem, place)
          const curve = limitCurve(problem, rowId, { from: now * 0.5, to: now * 1.5 + 0.01 }, glpk)
          if (curve.kind !== 'curve') {
            expect(['infeasible', 'unbounded']).toContain(curve.reason)
            return
          }
          const [first, last] = [curve.points[0], curve.points.at(-1)]
          const at = (value: number) => costBy(withLimit(problem, place, value))
          const { from, to } = curve.feasible
          const span = Math.max(now, Math.abs(from ?? 0), Math.abs(to ?? 0), 1e-3)
          for (const beyond of [to === null ? -1 : to + 1e-3 * span, from === null ? -1 : from - 1e-3 * span]) {
            if (beyond <= 0) continue
            seen.ends += 1
            expect(at(beyond), `${rowId} at ${beyond}`).toBeNull()
          }
          if (!first || !last || last.at - first.at <= 1e-6 * Math.abs(last.at)) return
          // a coefficient bends the curve between its break points, which are exact all the same
          const straight = entryOf(problem, place).kind === 'right-hand-side'
          expect(curve.exact, rowId).toBe(true)
          if (straight) {
            seen.exact += 1
            seen.breaks += curve.points.filter(({ turns }) => turns).length
            expectShape(curve, 1)
          } else seen.curved += 1
          const size = Math.max(1, ...curve.points.map((point) => Math.abs(point.cost)))
          for (const part of parts) {
            const value = first.at + part * (last.at - first.at)
            const cost = at(value)
            expect(Math.abs(onCurve(curve, value) - (cost ?? Number.NaN)), `${rowId} at ${value}`).toBeLessThanOrEqual(
              (straight ? 1e-6 : 2e-5) * size,
            )
          }
        },
      ),
      seeded,
    )
    expect(seen.exact).toBeGreaterThan(80)
    expect(seen.breaks).toBeGreaterThan(50)
    expect(seen.curved).toBeGreaterThan(5)
    expect(seen.ends).toBeGreaterThan(5)
  })

  test('the cost over a price equals the cost solved anew, is concave, and its slopes are amounts', () => {
    const seen = { curves: 0, breaks: 0 }
    fc.assert(
      fc.property(aProblem, fc.nat(), fc.boolean(), fc.double({ min: 0.001, max: 0.999, noNaN: true }), (problem, which, two, part) => {
        const count = problem.ingredients.length
        const ids = [which, ...(two ? [which + 1] : [])].map((i) => problem.ingredients[i % count]?.id ?? '')
        const curve = priceCurve(problem, ids, { from: 1, to: 150 }, glpk)
        if (curve.kind !== 'curve') return
        seen.curves += 1
        seen.breaks += curve.points.length - 2
        expect(curve.exact).toBe(true)
        expectShape(curve, -1)
        const price = 1 + part * 149
        const cost = costBy(withPrice(problem, ids, price)) ?? Number.NaN
        const size = Math.max(1, Math.abs(cost))
        expect(Math.abs(onCurve(curve, price) - cost)).toBeLessThanOrEqual(1e-6 * size)
        const [a, b] = [price - 1e-3, price + 1e-3].map((one) => costBy(withPrice(problem, ids, one)) ?? Number.NaN)
        const slope = ((b ?? Number.NaN) - (a ?? Number.NaN)) / 2e-3
        const amounts = curve.points.flatMap((point) => [point.slopeLeft ?? [], point.slopeRight ?? []].flat())
        expect(slope).toBeGreaterThanOrEqual(Math.min(...amounts) - 1e-3 * size)
        expect(slope).toBeLessThanOrEqual(Math.max(...amounts) + 1e-3 * size)
      }),
      seeded,
    )
    expect(seen.curves).toBeGreaterThan(100)
    expect(seen.breaks).toBeGreaterThan(100)
  })

  test('one-sided prices of limits are one-sided differences, and hold as far as they say and no farther', () => {
    const seen = { sides: 0, ends: 0, closed: 0, bent: 0 }
    fc.assert(
      fc.property(aProblem, (problem) => {
        const found = formulate(problem, glpk)
        if (found.status !== 'optimal') return
        const x = problem.ingredients.map(({ id }) => found.amounts[id] ?? Number.NaN)
        const size = Math.max(1, Math.abs(found.objective))
        for (const rowId of found.binding) {
          const place = placeOf(problem, rowId)
          const range = limitRange(problem, x, rowId, glpk)
          if (!place || !range) throw new Error(rowId)
          for (const [side, direction] of [
            [range.below, -1],
            [range.above, 1],
          ] as const) {
            const at = (value: number) => costBy(withLimit(problem, place, value))
            const span = Math.abs(range.limit) || 1
            if (side === null) {
              seen.closed += 1
              expect(at(range.limit + direction * 1e-3 * span), `${rowId} ${direction}`).toBeNull()
              continue
            }
            const far = side.holdsTo
            if (far === undefined) {
              const step = 1e-5 * span
              const cost = at(range.limit + direction * step)
              if (cost === null) continue
              seen.bent += 1
              const line = found.objective + side.slope * direction * step
              expect(Math.abs(cost - line), `${rowId} slope`).toBeLessThanOrEqual(1e-6 * size + 1e-2 * Math.abs(side.slope * step))
              continue
            }
            const end = far ?? range.limit + direction * 0.2 * span
            const reach = Math.abs(end - range.limit)
            if (reach < 1e-4 * span || (direction < 0 && end < 0)) continue
            seen.sides += 1
            const inside = range.limit + direction * reach * 0.999
            const line = (value: number) => found.objective + side.slope * (value - range.limit)
            expect(Math.abs((at(inside) ?? Number.NaN) - line(inside)), `${rowId} inside`).toBeLessThanOrEqual(2e-6 * size)
            if (far === null) continue
            const beyond = end + direction * 0.5 * reach
            const cost = beyond < 0 ? null : at(beyond)
            seen.ends += 1
            if (cost !== null) expect(cost - line(beyond), `${rowId} beyond`).toBeGreaterThan(-1e-6 * size)
          }
        }
      }),
      { ...seeded, numRuns: 200 },
    )
    expect(seen.sides).toBeGreaterThan(100)
    expect(seen.ends).toBeGreaterThan(100)
    expect(seen.closed).toBeGreaterThan(0)
    expect(seen.bent).toBeGreaterThan(10)
  })

  test('a mix stays the cheapest between its prices, and not outside them', () => {
    const seen = { from: 0, to: 0, enters: 0 }
    fc.assert(
      fc.property(aProblem, (problem) => {
        const found = formulate(problem, glpk)
        if (found.status !== 'optimal') return
        const x = problem.ingredients.map(({ id }) => found.amounts[id] ?? Number.NaN)
        const size = Math.max(1, Math.abs(found.objective))
        for (const { ingredientId, used, from, to } of priceRanges(problem, x, glpk)) {
          const now = problem.ingredients.find(({ id }) => id === ingredientId)?.cost ?? Number.NaN
          const amount = found.amounts[ingredientId] ?? Number.NaN
          // a free batch of something cheaper than nothing has no least cost: HiGHS then gives none
          const stays = (price: number) => found.objective + amount * (price - now)
          const cheaper = (price: number) => stays(price) - (costBy(withPrice(problem, [ingredientId], price)) ?? Number.NEGATIVE_INFINITY)
          for (const [end, out] of [
            [from, -1],
            [to, 1],
          ] as const) {
            if (end === null) continue
            const reach = Math.max(1, Math.abs(end))
            expect(Math.abs(cheaper(end - out * 1e-6 * reach)), `${ingredientId} inside`).toBeLessThanOrEqual(1e-6 * size + 1e-4)
            // an unused one may enter by very little: the cheaper cost shows only where the price falls well below
            expect(cheaper(end + out * reach), `${ingredientId} outside`).toBeGreaterThan(0)
            seen[out < 0 ? (used ? 'from' : 'enters') : 'to'] += 1
          }
        }
      }),
      { ...seeded, numRuns: 80 },
    )
    expect(seen.from).toBeGreaterThan(20)
    expect(seen.to).toBeGreaterThan(20)
    expect(seen.enters).toBeGreaterThan(50)
  })
})

import type { LinearSolver } from './linear-program.js'
import { pointsAlong, pointsOf, type Curve, type CurveOptions, type CurveRange, type NoCurve } from './parametric-curve.js'
import { solveWith, type Tangent } from './parametric-certain.js'
import { feasibleEnds, type Ends } from './parametric-ends.js'
import { hasCertainty } from './certainty-rows.js'
import { hasWholeAmounts, placeOf, withLimit, type LimitPlace } from './parametric-limit.js'
import { chordsBetween, piecesBetween, type Sample, type SampleAt } from './parametric-pieces.js'
import { limitsWith, movingLimit, type MovingLimits } from './parametric-program.js'
import { ratioStretches } from './parametric-ratio.js'
import type { FormulaProblem } from './problem.js'
import { limitsOf, programOf } from './program.js'

const MOST_SAMPLES = 400
/** A bent curve is drawn from so many samples at most; under certainty each takes some five solves (measured), so from fewer. Towards its end it turns upright. */
const MOST_BENT = { bent: 100, certain: 32 }
const NEAR = { bent: 1e-5, certain: 1e-4 }

/** Solves at one value of a moving limit; the slope is what the duals of the rows and bounds that move say. */
const straightSampler =
  (moving: MovingLimits, solver: LinearSolver): SampleAt =>
  (at) => {
    const outcome = solver.solve(programOf(limitsWith(moving, at)))
    if (outcome.kind !== 'optimal') return null
    const fixed = moving.fixed.rows.length
    const ofRows = moving.rows.reduce((sum, row, i) => sum + (outcome.rowDuals[fixed + i] ?? Number.NaN) * row.rate, 0)
    const ofBounds = moving.bounds.reduce((sum, { index, side, rate }) => {
      const reduced = outcome.reducedCosts[index] ?? Number.NaN
      const pulls = side === 'eq' || (side === 'min' ? reduced > 0 && rate * at >= 0 : reduced < 0)
      return pulls ? sum + reduced * rate : sum
    }, 0)
    return { at, cost: outcome.objective, slope: ofRows + ofBounds, amounts: outcome.x }
  }

/** Solves at one value of a limit that bends the curve. Its slope is not known. */
function bentSampler(problem: FormulaProblem, place: LimitPlace, solver: LinearSolver): SampleAt {
  const tangents: Tangent[] = []
  return (at) => {
    const some = withLimit(problem, place, at)
    const outcome = solveWith(some, limitsOf(some), solver, tangents)
    return outcome.kind === 'optimal' ? { at, cost: outcome.objective, slope: Number.NaN, amounts: outcome.x } : null
  }
}

/**
 * How far inside, as a share of the range, a sample may stand for one at the very end of what is feasible, which fails by rounding alone. Under
 * certainty the cuts take a mix at the end itself within a tenth of what the re-check lets pass (24 of 24 random problems).
 */
const HAIRS = {
  straight: [0, 1e-10, 1e-9, 1e-8, 1e-7],
  bent: [0, 1e-10, 1e-9, 1e-8, 1e-7, 1e-6, 1e-4, 1e-3],
  certain: [0, 1e-8, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 1e-2],
}

/** On a straight stretch the sample inside tells the cost at the end too; on a bent one the curve ends where it was sampled. */
function endSample(at: number, inward: number, sampleAt: SampleAt, kind: keyof typeof HAIRS): Sample | null {
  for (const hair of HAIRS[kind]) {
    const sample = sampleAt(at + inward * hair)
    if (sample) return kind === 'straight' ? { ...sample, at, cost: sample.cost - sample.slope * inward * hair } : sample
  }
  return null
}

function within({ from, to }: CurveRange, ends: Ends): CurveRange | null {
  const inside = { from: Math.max(from, ends.from ?? from), to: Math.min(to, ends.to ?? to) }
  return inside.from <= inside.to ? inside : null
}

type Drawn = Pick<Curve, 'points' | 'exact'>

/** Exact pieces where the limit is a right-hand side of a linear program, exact stretches where it is a coefficient of one, else chords. */
function drawn(
  problem: FormulaProblem,
  rowId: string,
  place: LimitPlace,
  range: CurveRange,
  solver: LinearSolver,
  options: CurveOptions,
): Drawn | null {
  const most = options.mostSamples ?? MOST_SAMPLES
  const width = Math.max(range.to - range.from, 1e-6 * Math.abs(range.to))
  const moving = hasCertainty(problem) ? null : movingLimit(problem, rowId, place)
  const sampleAt = moving ? straightSampler(moving, solver) : bentSampler(problem, place, solver)
  const kind = moving ? 'straight' : hasCertainty(problem) ? 'certain' : 'bent'
  const first = endSample(range.from, width, sampleAt, kind)
  const last = endSample(range.to, -width, sampleAt, kind)
  if (!first || !last) return null
  if (kind === 'bent') {
    const stretches = ratioStretches({ problem, rowId, place, solver, sampleAt }, first, last)
    if (stretches && stretches.length > 0) return { points: pointsAlong(problem, stretches), exact: true }
  }
  const pieces =
    kind === 'straight'
      ? piecesBetween(first, last, sampleAt, most)
      : chordsBetween(first, last, sampleAt, Math.min(most, MOST_BENT[kind]), NEAR[kind])
  return { points: pointsOf(problem, pieces, first), exact: pieces.exact }
}

/**
 * The least cost as one limit runs over a range, in the limit's own unit (a concentration in per cent, an amount in kilograms), all else
 * as it is. Exact break points without certainty: straight between them for a right-hand side (nutrients and fractions of a fixed batch,
 * amounts, linear rows, the batch itself), bent a little where the limit is a coefficient (ratios, concentrations of a free batch). By
 * samples (`exact: false`) where certainty bends the limits.
 */
export function limitCurve(
  problem: FormulaProblem,
  rowId: string,
  range: CurveRange,
  solver: LinearSolver,
  options: CurveOptions = {},
): Curve | NoCurve {
  if (hasWholeAmounts(problem)) return { kind: 'none', reason: 'whole-amounts' }
  const place = placeOf(problem, rowId, options.side)
  if (!place) return { kind: 'none', reason: 'no-such-limit' }
  const ends = feasibleEnds(problem, rowId, place, solver)
  if (ends.kind !== 'ends') return { kind: 'none', reason: ends.kind }
  const feasible = { from: ends.from, to: ends.to }
  const asked = within(range, feasible)
  if (!asked) return { kind: 'curve', points: [], feasible, exact: true }
  const found = drawn(problem, rowId, place, asked, solver, options)
  return found ? { kind: 'curve', ...found, feasible } : { kind: 'none', reason: 'failed' }
}

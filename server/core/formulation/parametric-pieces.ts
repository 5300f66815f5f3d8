/** The optimal cost at one value of the parameter, with one slope that supports the curve there. */
export type Sample = { readonly at: number; readonly cost: number; readonly slope: number; readonly amounts: readonly number[] }

/** A straight stretch of a curve. */
export type Piece = { readonly from: Sample; readonly to: Sample; readonly slope: number }

/** `exact`: every break point is the meeting of two straight stretches, and none is missed within the tolerance. */
export type Pieces = { readonly pieces: readonly Piece[]; readonly exact: boolean }

export type SampleAt = (at: number) => Sample | null

/** Costs closer than this share of the largest are the same: well above what an optimal basis is off by, well below a printed digit. */
const SAME_COST = 1e-10
const SAME_SLOPE = 1e-7

const meet = (a: Sample, b: Sample): number => (b.cost - a.cost + a.slope * a.at - b.slope * b.at) / (a.slope - b.slope)
const chord = (a: Sample, b: Sample): Piece => ({ from: a, to: b, slope: (b.cost - a.cost) / (b.at - a.at) })
const lineAt = (a: Sample, at: number): number => a.cost + a.slope * (at - a.at)

/**
 * All straight stretches of a convex or concave piecewise linear curve between two samples: where the supporting lines of two samples
 * meet is either on the curve, and then a break point, or below (above) it, and then a new sample splits the question in two.
 * Stops after `mostSamples` and says so. The method is common (parametric programming by its tangents), no source.
 */
export function piecesBetween(first: Sample, last: Sample, sampleAt: SampleAt, mostSamples: number, sameCost = SAME_COST): Pieces {
  const size = Math.max(Math.abs(first.cost), Math.abs(last.cost), 1e-9)
  const same = (one: number, other: number): boolean => Math.abs(one - other) <= sameCost * size
  let left = mostSamples
  let exact = true
  function between(a: Sample, b: Sample): Piece[] {
    if (b.at - a.at <= 1e-12 * Math.max(1, Math.abs(b.at))) return []
    if (same(b.cost, lineAt(a, b.at))) return [{ from: a, to: b, slope: a.slope }]
    if (same(a.cost, lineAt(b, a.at))) return [{ from: a, to: b, slope: b.slope }]
    const at = meet(a, b)
    const edge = 1e-12 * (b.at - a.at)
    if (!(at > a.at + edge && at < b.at - edge)) return [chord(a, b)]
    left -= 1
    const middle = left < 0 ? null : sampleAt(at)
    if (middle === null) {
      exact = false
      return [chord(a, b)]
    }
    if (same(middle.cost, lineAt(a, at)))
      return [
        { from: a, to: middle, slope: a.slope },
        { from: middle, to: b, slope: b.slope },
      ]
    return [...between(a, middle), ...between(middle, b)]
  }
  return { pieces: merged(between(first, last)), exact }
}

/** Neighbours with the same slope are one stretch, of which the sample between was no break point. */
function merged(pieces: readonly Piece[]): Piece[] {
  const steepest = Math.max(0, ...pieces.map((piece) => Math.abs(piece.slope)))
  const result: Piece[] = []
  for (const piece of pieces) {
    const last = result.at(-1)
    if (last && Math.abs(last.slope - piece.slope) <= SAME_SLOPE * steepest) result[result.length - 1] = { ...last, to: piece.to }
    else result.push(piece)
  }
  return result
}

/** A stretch with its middle, and how far that lies beside the chord. */
type Halved = { readonly a: Sample; readonly middle: Sample; readonly b: Sample; readonly beside: number }

/**
 * A curve of any shape as chords that stay within `tolerance` (a share of its rise, or of its height) of it: the stretch whose middle lies
 * farthest beside its chord is halved, until none does or `mostSamples` are spent. Where the curve cannot be sampled the stretch is left out.
 */
export function chordsBetween(first: Sample, last: Sample, sampleAt: SampleAt, mostSamples: number, tolerance = 1e-5): Pieces {
  const START = 8
  const inner = Array.from({ length: START - 1 }, (_, i) => sampleAt(first.at + ((last.at - first.at) * (i + 1)) / START))
  const grid = [first, ...inner, last]
  const costs = grid.flatMap((sample) => (sample ? [sample.cost] : []))
  const size = Math.max(1e-12, Math.max(...costs) - Math.min(...costs), 1e-3 * Math.max(...costs.map(Math.abs)))
  const halved = (a: Sample, b: Sample): Halved[] => {
    const middle = b.at > a.at ? sampleAt((a.at + b.at) / 2) : null
    return middle ? [{ a, middle, b, beside: Math.abs(middle.cost - (a.cost + b.cost) / 2) / size }] : []
  }
  let stretches = grid.slice(1).flatMap((b, i) => {
    const a = grid[i]
    return a && b ? halved(a, b) : []
  })
  for (let left = mostSamples; left > 0; left -= 2) {
    const worst = stretches.reduce<Halved | null>((so, one) => (one.beside > (so?.beside ?? tolerance) ? one : so), null)
    if (!worst) break
    stretches = stretches.flatMap((one) => (one === worst ? [...halved(one.a, one.middle), ...halved(one.middle, one.b)] : [one]))
  }
  return { pieces: stretches.flatMap(({ a, middle, b }) => [chord(a, middle), chord(middle, b)]), exact: false }
}

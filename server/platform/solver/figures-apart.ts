import { readMps } from '#core/formulation/mps'
import type { LinearModel } from '#core/formulation/linear-model'
import type { StatedProblem } from '#core/formulation/stated-problem'

type Figure = { readonly path: string; readonly value: number }
type Pair = { readonly least: Figure; readonly most: Figure }

/** Solvers keep limits to a billionth of the figures they scale to: a thousand times that is left between figures that lie so far apart. */
const FAR = 1e6

function* figuresIn(value: unknown, path: string): Generator<Figure> {
  if (typeof value === 'number') {
    if (value !== 0) yield { path, value }
  } else if (Array.isArray(value)) for (const [i, one] of value.entries()) yield* figuresIn(one, `${path}[${i}]`)
  else if (typeof value === 'object' && value !== null)
    for (const [name, one] of Object.entries(value)) yield* figuresIn(one, path === '' ? name : `${path}.${name}`)
}

const sizeOf = ({ value }: Figure): number => Math.abs(value)
const ratioOf = ({ least, most }: Pair): number => sizeOf(most) / sizeOf(least)
const further = (one: Pair, other: Pair): Pair => (ratioOf(other) > ratioOf(one) ? other : one)

const widened = (pair: Pair | undefined, figure: Figure): Pair => ({
  least: pair && sizeOf(pair.least) <= sizeOf(figure) ? pair.least : figure,
  most: pair && sizeOf(pair.most) >= sizeOf(figure) ? pair.most : figure,
})

/** One member over the whole of a list is one sort of figure: the costs, the calcium of all ingredients. */
const sortOf = ({ path }: Figure): string => path.replace(/\[\d+\]/g, '[]')

function furthest(figures: Iterable<Figure>): Pair | null {
  const bySort = new Map<string, Pair>()
  let all: Pair | undefined
  for (const figure of figures) {
    bySort.set(sortOf(figure), widened(bySort.get(sortOf(figure)), figure))
    all = widened(all, figure)
  }
  if (!all) return null
  const alike = [...bySort.values()].reduce(further)
  return ratioOf(alike) >= FAR ? alike : all
}

/** By row and column, because the lines of an MPS text are not kept. */
const namedByRow = ({ vars, rows }: LinearModel) => ({
  costs: Object.fromEntries(vars.map(({ id, cost }) => [id, cost])),
  bounds: Object.fromEntries(vars.map(({ id, lo, hi }) => [id, { lo, hi }])),
  rows: Object.fromEntries(rows.map(({ id, coefs, lo, hi }) => [id, { coefs, lo, hi }])),
})

function figuresOf(stated: StatedProblem): Iterable<Figure> {
  if (stated.kind !== 'mps') return figuresIn(stated.problem, 'problem')
  const reading = readMps(stated.problem)
  return reading.kind === 'model' ? figuresIn(namedByRow(reading.model), 'problem.mps') : []
}

/**
 * Of a problem that no solver could answer for sure, the two figures that lie furthest apart, in words: of one sort where those are far enough
 * apart, else of all. Null where no two figures are so far apart that they can be the cause.
 */
export function figuresApart(stated: StatedProblem): string | null {
  const pair = furthest(figuresOf(stated))
  if (!pair || ratioOf(pair) < FAR) return null
  const { least, most } = pair
  return `${least.path}: ${least.value} lies too far from ${most.value} (${most.path}) for an answer to be proven; keep them within a million times each other`
}

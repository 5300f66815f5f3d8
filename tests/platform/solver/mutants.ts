import { figuresFrom } from '../../core/formulation/seeded-problems.js'
import { referenceCases } from '../../core/formulation/reference-cases.js'

const KINDS = new Set(['formula', 'multi', 'lp', 'chance-constrained', 'parametric-price'])
const CASES = referenceCases.filter(({ kind }) => KINDS.has(kind))

type Members = Record<string, unknown>
type Figure = { readonly holder: Members; readonly name: string; readonly value: number }

const isObject = (value: unknown): value is Members => typeof value === 'object' && value !== null

const figuresIn = (holder: Members): Figure[] =>
  Object.entries(holder).flatMap(([name, value]) => {
    if (typeof value === 'number') return [{ holder, name, value }]
    return isObject(value) ? figuresIn(value) : []
  })

/** A figure up to a million times larger or smaller, of the other sign, zero, or that of another member. */
function changed({ value }: Figure, other: Figure, next: () => number): number {
  const what = next()
  if (what < 0.8) return Number((value * 10 ** (12 * next() - 6)).toPrecision(7))
  return what < 0.87 ? -value : what < 0.94 ? 0 : other.value
}

/** The text of a reference case in which a share of the figures, up to all of them, were changed. */
export function mutant(seed: number): string {
  const next = figuresFrom(seed * 7919 + 13)
  const pick = <T>(of: readonly T[]): T => of[Math.floor(next() * of.length)] as T
  const { kind, problem, ...rest } = structuredClone(pick(CASES)) as unknown as Members & { kind: string; problem: Members }
  delete problem['info']
  const figures = figuresIn(problem)
  const count = Math.max(1, Math.floor(pick([0.03, 0.1, 0.3, 1]) * figures.length))
  for (let n = 0; n < count; n += 1) {
    const figure = pick(figures)
    figure.holder[figure.name] = changed(figure, pick(figures), next)
  }
  return JSON.stringify({ kind, problem, ...('parameter' in rest ? { parameter: rest['parameter'] } : {}) })
}

import { scaleSpread, totalSd, type Spread } from '../composition/spread.js'
import type { FormulaProblem, ProblemIngredient } from './problem.js'
import { WORST } from './row-id.js'

/** One more result of one lot. */
export type AssayTest = {
  /** The ingredient of the problem, which in a mix is a lot. */
  readonly ingredient: string
  readonly nutrient: string
  /** Standard deviation of a result around the lot's content: repeatability and sampling together, in the nutrient's unit. */
  readonly assaySd: number
  /** In the currency of the problem's costs. */
  readonly price?: number | undefined
  /** Other nutrients of the lot that follow this one, each by so much for one unit of it. */
  readonly moves?: { readonly [nutrient: string]: number } | undefined
}

export type Expected = {
  /** How far the believed content is expected to move when the result is in (standard deviation). */
  readonly meanSd: number
  /** What is believed then. */
  readonly spread: Spread
  /** By how much the variance falls. */
  readonly narrowing: number
}

/**
 * A belief before a result is in (normal-normal): with weight w = sd^2 / (sd^2 + assay sd^2) on the result, the new error is (1 - w) of the old
 * one and w of the assay's. The lot's part in shared errors shrinks with it; what the result says of other lots is left aside.
 */
export function expectedBelief(spread: Spread, assaySd: number): Expected {
  const variance = totalSd(spread) ** 2
  const spreadOfResult = variance + assaySd ** 2
  if (variance === 0) return { meanSd: 0, spread, narrowing: 0 }
  const weight = variance / spreadOfResult
  const left = scaleSpread(spread, 1 - weight)
  return {
    meanSd: weight * Math.sqrt(spreadOfResult),
    spread: { ...left, own: Math.hypot(left.own, weight * assaySd) },
    narrowing: weight * variance,
  }
}

/** A nutrient goes under two names in a mix: as it counts towards a minimum and towards a maximum. */
const plainName = (name: string): string => (name.endsWith(WORST) ? name.slice(0, -WORST.length) : name)

/** How one content of the tested lot moves and narrows. */
export type Shift = { readonly name: string; readonly meanSd: number; readonly spread: Spread }

/** Every content of the lot, by its name in the problem, that a test would move. Empty where its spread is not known or nothing. */
export function shiftsOf(ingredient: ProblemIngredient, { nutrient, assaySd, moves = {} }: AssayTest): readonly Shift[] {
  const spreads = Object.entries(ingredient.spreads ?? {})
  const tested = spreads.find(([name]) => plainName(name) === nutrient)?.[1]
  if (!tested || totalSd(tested) === 0) return []
  const { meanSd, spread, narrowing } = expectedBelief(tested, assaySd)
  return spreads.flatMap(([name, old]): Shift[] => {
    const plain = plainName(name)
    if (plain === nutrient) return [{ name, meanSd, spread }]
    const rate = Object.hasOwn(moves, plain) ? (moves[plain] ?? 0) : 0
    const variance = totalSd(old) ** 2
    if (rate === 0 || variance === 0) return []
    // the part of its error that comes from the tested nutrient narrows, the rest stays
    const left = Math.sqrt(Math.max(0, variance - rate ** 2 * narrowing) / variance)
    return [{ name, meanSd: rate * meanSd, spread: scaleSpread(old, left) }]
  })
}

/** The problem as it would be once the result is in, `steps` standard deviations above what was expected of it. */
export function afterResult(problem: FormulaProblem, test: AssayTest, steps: number): FormulaProblem {
  return {
    ...problem,
    ingredients: problem.ingredients.map((ingredient) => {
      if (ingredient.id !== test.ingredient) return ingredient
      const shifts = shiftsOf(ingredient, test)
      return {
        ...ingredient,
        nutrients: {
          ...ingredient.nutrients,
          ...Object.fromEntries(shifts.map(({ name, meanSd }) => [name, (ingredient.nutrients?.[name] ?? Number.NaN) + steps * meanSd])),
        },
        spreads: { ...ingredient.spreads, ...Object.fromEntries(shifts.map(({ name, spread }) => [name, spread])) },
      }
    }),
  }
}

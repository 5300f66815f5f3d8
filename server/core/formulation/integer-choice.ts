import type { FormulaProblem, ProblemIngredient, ProblemLogic } from './problem.js'

/** A limit that a solver needs whole numbers for, over positions of variables. */
export type Choice =
  /** A whole multiple of `step`; ids `increment:ID`, or `integer:ID` for whole numbers. */
  | { readonly kind: 'multiple'; readonly id: string; readonly index: number; readonly step: number }
  /** Zero, or at least `least`. */
  | { readonly kind: 'minIfUsed'; readonly id: string; readonly index: number; readonly least: number }
  /** How many of those are used (above zero). */
  | { readonly kind: 'count'; readonly id: string; readonly indices: readonly number[]; readonly min: number; readonly max: number | null }
  /** Where the first is used the second is used. */
  | { readonly kind: 'implies'; readonly id: string; readonly index: number; readonly then: number }

function ofIngredient({ id, integer, increment, minIfUsed }: ProblemIngredient, index: number): Choice[] {
  return [
    ...(integer ? [{ kind: 'multiple' as const, id: `integer:${id}`, index, step: 1 }] : []),
    ...(increment === undefined ? [] : [{ kind: 'multiple' as const, id: `increment:${id}`, index, step: increment }]),
    ...(minIfUsed === undefined || minIfUsed === 0 ? [] : [{ kind: 'minIfUsed' as const, id: `minIfUsed:${id}`, index, least: minIfUsed }]),
  ]
}

function ofLogic(logic: ProblemLogic, at: (id: string) => number): Choice {
  const id = `logic:${logic.id}`
  switch (logic.type) {
    case 'atMost':
      return { kind: 'count', id, indices: logic.items.map(at), min: 0, max: logic.k }
    case 'atLeast':
      return { kind: 'count', id, indices: logic.items.map(at), min: logic.k, max: null }
    case 'eitherOr':
      return { kind: 'count', id, indices: logic.items.map(at), min: 1, max: 1 }
    case 'implies':
      return { kind: 'implies', id, index: at(logic.if), then: at(logic.then) }
  }
}

/** The whole-number limits of a problem, by name: those of ingredients first, then its logic. */
export function choicesOf({ ingredients, logic = [] }: FormulaProblem): readonly Choice[] {
  if (logic.length === 0 && !ingredients.some((one) => one.integer || one.increment !== undefined || one.minIfUsed)) return []
  const positions = new Map(ingredients.map(({ id }, index) => [id, index]))
  return [...ingredients.flatMap(ofIngredient), ...logic.map((one) => ofLogic(one, (id) => positions.get(id) ?? -1))]
}

/** The variables that some choice asks about being used, ascending. */
export function chosenIndices(choices: readonly Choice[]): readonly number[] {
  const indices = choices.flatMap((choice) => {
    switch (choice.kind) {
      case 'multiple':
        return []
      case 'minIfUsed':
        return [choice.index]
      case 'count':
        return choice.indices
      case 'implies':
        return [choice.index, choice.then]
    }
  })
  return [...new Set(indices)].sort((a, b) => a - b)
}

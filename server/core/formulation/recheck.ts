import { certaintyViolations } from './certainty-recheck.js'
import { changeAllowed, valueOf, type FormulaProblem } from './problem.js'
import { brokenChoices } from './recheck-choices.js'

/** A limit that an answer breaks: by how much, in the limit's own unit. */
export type Violation = { readonly id: string; readonly by: number }

/**
 * A limit counts as kept when it is missed by no more than a millionth of the quantities that make it up (a solver's own
 * feasibility tolerance is a tenth of that), or by 1e-9 where those are all near zero.
 */
export const RECHECK_RELATIVE = 1e-6
export const RECHECK_ABSOLUTE = 1e-9

/** A measured quantity and the size of the terms it was summed from. */
type Quantity = { readonly value: number; readonly size: number }
type Limit = { readonly min?: number | undefined; readonly max?: number | undefined }

function sumOver(problem: FormulaProblem, amounts: readonly number[], each: (index: number) => number): Quantity {
  let value = 0
  let size = 0
  for (let i = 0; i < problem.ingredients.length; i += 1) {
    const amount = amounts[i] ?? Number.NaN
    // most lots of a mix are not in it, and nothing of something adds nothing
    if (amount === 0) continue
    const term = each(i) * amount
    value += term
    size += Math.abs(term)
  }
  return { value, size }
}

/** NaN (an unknown content or amount) is never inside a limit. */
function violation(id: string, by: number, size: number): Violation[] {
  return by <= RECHECK_RELATIVE * size + RECHECK_ABSOLUTE ? [] : [{ id, by }]
}

function outside(name: string, quantity: Quantity, limit: Limit): Violation[] {
  const equal = limit.min !== undefined && limit.min === limit.max
  const size = Math.max(quantity.size, Math.abs(limit.min ?? 0), Math.abs(limit.max ?? 0))
  return [
    ...(limit.min === undefined ? [] : violation(`${name}:${equal ? 'eq' : 'min'}`, limit.min - quantity.value, size)),
    ...(limit.max === undefined ? [] : violation(`${name}:${equal ? 'eq' : 'max'}`, quantity.value - limit.max, size)),
  ]
}

function ofBatch(problem: FormulaProblem, total: Quantity): Violation[] {
  const { batch } = problem
  if (!batch) return []
  const limit = { min: batch.relation === '<=' ? undefined : batch.size, max: batch.relation === '>=' ? undefined : batch.size }
  return outside('batch', total, limit).map(({ by }) => ({ id: 'batch', by }))
}

function ofNutrients(problem: FormulaProblem, amounts: readonly number[], total: number): Violation[] {
  return (problem.nutrients ?? []).flatMap((nutrient) => {
    const mass = sumOver(problem, amounts, (i) => valueOf(problem.ingredients[i]?.nutrients, nutrient.id) ?? Number.NaN)
    if (nutrient.basis === 'total') return outside(`nutrient:${nutrient.id}`, mass, nutrient)
    if (total === 0) return []
    return outside(`nutrient:${nutrient.id}`, { value: mass.value / total, size: mass.size / total }, nutrient)
  })
}

function ofRatios(problem: FormulaProblem, amounts: readonly number[]): Violation[] {
  const side = (weights: { readonly [nutrient: string]: number }) =>
    sumOver(problem, amounts, (i) =>
      Object.entries(weights).reduce(
        (sum, [id, weight]) => sum + weight * (valueOf(problem.ingredients[i]?.nutrients, id) ?? Number.NaN),
        0,
      ),
    )
  // as numerator against limit x denominator, in the numerator's unit: a quotient would hide a denominator of zero
  return (problem.ratios ?? []).flatMap((ratio) => {
    const over = side(ratio.numerator)
    const under = side(ratio.denominator)
    const against = (limit: number | undefined) => (limit === undefined ? undefined : limit * under.value)
    const size = over.size + under.size * Math.max(Math.abs(ratio.min ?? 0), Math.abs(ratio.max ?? 0))
    const equal = ratio.min !== undefined && ratio.min === ratio.max
    return [
      ...violation(`ratio:${ratio.id}:${equal ? 'eq' : 'min'}`, (against(ratio.min) ?? over.value) - over.value, size),
      ...violation(`ratio:${ratio.id}:${equal ? 'eq' : 'max'}`, over.value - (against(ratio.max) ?? over.value), size),
    ]
  })
}

function ofLinear(problem: FormulaProblem, amounts: readonly number[]): Violation[] {
  return (problem.linear ?? []).flatMap((row) => {
    const sum = sumOver(problem, amounts, (i) => valueOf(row.coefs, problem.ingredients[i]?.id ?? '') ?? 0)
    return outside(`linear:${row.id}`, sum, row).map(({ by }) => ({ id: `linear:${row.id}`, by }))
  })
}

/** What a limit of one is in amounts. */
const unitOf = (problem: FormulaProblem, total: number): number =>
  problem.inclusionBasis === 'fraction' ? (problem.batch?.relation === '=' ? problem.batch.size : total) : 1

function ofGroups(problem: FormulaProblem, amounts: readonly number[], total: number): Violation[] {
  const unit = unitOf(problem, total)
  return (problem.groups ?? []).flatMap((group) => {
    const sum = sumOver(problem, amounts, (i) => (group.items.includes(problem.ingredients[i]?.id ?? '') ? 1 : 0))
    const scaled = (limit: number | undefined) => (limit === undefined ? undefined : limit * unit)
    return outside(`group:${group.id}`, sum, { min: scaled(group.min), max: scaled(group.max) })
  })
}

function ofChange(problem: FormulaProblem, amounts: readonly number[], total: number): Violation[] {
  const { previous } = problem
  if (!previous) return []
  const unit = unitOf(problem, total)
  return problem.ingredients.flatMap(({ id }, i) => {
    const change = changeAllowed(previous, id)
    if (change === undefined) return []
    const now = amounts[i] ?? Number.NaN
    const moved = now - (valueOf(previous.amounts, id) ?? 0) * unit
    const size = Math.abs(now) + Math.abs(now - moved)
    return [...violation(`change:${id}:min`, -moved - change * unit, size), ...violation(`change:${id}:max`, moved - change * unit, size)]
  })
}

function ofIngredients(problem: FormulaProblem, amounts: readonly number[], total: number): Violation[] {
  const unit = unitOf(problem, total)
  return problem.ingredients.flatMap(({ id, min, max }, i) => {
    const value = amounts[i] ?? Number.NaN
    const name = `ingredient:${id}`
    return [
      ...violation(`${name}:min`, (min ?? 0) * unit - value, Math.abs(value)),
      ...(max === undefined ? [] : violation(`${name}:max`, value - max * unit, Math.abs(value))),
    ]
  })
}

/**
 * Every limit of the problem that `amounts` (one an ingredient, in order) break, worked out from the problem itself and not from
 * the rows that were given to the solver. Empty when all hold.
 */
export function recheck(problem: FormulaProblem, amounts: readonly number[]): Violation[] {
  const total = sumOver(problem, amounts, () => 1)
  return [
    ...ofBatch(problem, total),
    ...ofNutrients(problem, amounts, total.value),
    ...ofRatios(problem, amounts),
    ...ofLinear(problem, amounts),
    ...ofGroups(problem, amounts, total.value),
    ...ofChange(problem, amounts, total.value),
    ...ofIngredients(problem, amounts, total.value),
    ...brokenChoices(problem, amounts),
    ...certaintyViolations(problem, amounts),
  ]
}

/** The cost of amounts at the problem's prices. */
export const costOfAmounts = (problem: FormulaProblem, amounts: readonly number[]): number =>
  sumOver(problem, amounts, (i) => problem.ingredients[i]?.cost ?? Number.NaN).value

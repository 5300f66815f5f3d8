import { CHANCE, type ChanceProblem } from '#core/formulation/chance'
import type { LinearModel } from '#core/formulation/linear-model'
import { cellId, nameInCell, type MultiProblem } from '#core/formulation/multi'
import { nutrientsNeeded, valueOf, type FormulaProblem, type ProblemLogic, type ProblemRatio } from '#core/formulation/problem'
import { each, firstOf, repeated, secondOf, stranger, strangerAt, type Fault } from './problem-fault.js'
import { multiStepFault, stepFault } from './problem-steps.js'

function logicFault(path: string, logic: readonly ProblemLogic[] | undefined, known: ReadonlySet<string>, what: string): Fault {
  return each(logic, (one, i) => {
    if (one.type !== 'implies') return strangerAt(`${path}.logic[${i}].items`, one.items, known, what)
    const missing = (['if', 'then'] as const).find((member) => !known.has(one[member]))
    return missing === undefined ? null : `${path}.logic[${i}].${missing}: '${one[missing]}' is not ${what}`
  })
}

type Blend = Omit<FormulaProblem, 'ingredients'>

/**
 * A ratio is a row: numerator against limit x denominator. That says the same only where no mix has a denominator below zero, so no ingredient
 * may bring one.
 */
function ratioFault(path: string, { denominator }: ProblemRatio, ingredients: FormulaProblem['ingredients']): Fault {
  const below = ingredients.find(
    ({ nutrients }) => Object.entries(denominator).reduce((sum, [id, weight]) => sum + weight * (valueOf(nutrients, id) ?? 0), 0) < 0,
  )
  return below === undefined ? null : `${path}.denominator: is below zero in '${below.id}'; no ingredient may make it negative`
}

/** Faults between the members of a blend, given which ingredients there are. */
function blendFault(path: string, blend: Blend, known: ReadonlySet<string>): Fault {
  const names = ['nutrients', 'ratios', 'linear', 'logic', 'groups'] as const
  const { previous } = blend
  return firstOf(
    ...names.map((name) => () => repeated(`${path}.${name}`, blend[name])),
    () => each(blend.linear, (row, i) => stranger(`${path}.linear[${i}].coefs`, Object.keys(row.coefs), known, 'an ingredient')),
    () => each(blend.groups, (group, i) => strangerAt(`${path}.groups[${i}].items`, group.items, known, 'an ingredient')),
    () => logicFault(path, blend.logic, known, 'an ingredient'),
    () =>
      previous && typeof previous.maxChange !== 'number'
        ? stranger(`${path}.previous.maxChange`, Object.keys(previous.maxChange), known, 'an ingredient')
        : null,
  )
}

/** Faults between the limits of a blend and what its ingredients hold. */
function contentFault(path: string, blend: Blend, ingredients: FormulaProblem['ingredients']): Fault {
  const needed = nutrientsNeeded({ ...blend, ingredients })
  return firstOf(
    () =>
      each(ingredients, (ingredient, i) => {
        const missing = needed.find((nutrient) => valueOf(ingredient.nutrients, nutrient) === undefined)
        return missing === undefined
          ? null
          : `problem.ingredients[${i}].nutrients.${missing}: must be given, 0 where the ingredient has none`
      }),
    () => each(blend.ratios, (ratio, i) => ratioFault(`${path}.ratios[${i}]`, ratio, ingredients)),
  )
}

const idsOf = (items: readonly { readonly id: string }[]): ReadonlySet<string> => new Set(items.map((item) => item.id))

/** Faults between the members of a formula: ids that stand twice, that nothing has, or contents that a limit needs and nobody gave. */
export const formulaFault = (problem: FormulaProblem): Fault =>
  firstOf(
    () => repeated('problem.ingredients', problem.ingredients),
    () => blendFault('problem', problem, idsOf(problem.ingredients)),
    () => contentFault('problem', problem, problem.ingredients),
    () => stepFault(problem),
  )

/** Each side of a nutrient can be asked for by chance once, and its limit goes by a name that must be free. */
const chanceNameFault = ({ chance, ingredients }: ChanceProblem): Fault =>
  firstOf(
    ...(['min', 'max'] as const).map((side) => () => {
      const asked = chance.map((limit, i) => (limit[side] === undefined ? `[${i}]` : limit.nutrient))
      const at = secondOf(asked)
      return at < 0 ? null : `problem.chance[${at}].${side}: '${asked[at] ?? ''}' has this limit by chance already`
    }),
    () =>
      each(ingredients, (ingredient, i) => {
        const taken = chance.map(({ nutrient }) => nutrient + CHANCE).find((name) => valueOf(ingredient.nutrients, name) !== undefined)
        return taken === undefined ? null : `problem.ingredients[${i}].nutrients.${taken}: the name is taken by a limit by chance`
      }),
  )

export const chanceFault = (problem: ChanceProblem): Fault =>
  firstOf(
    () => formulaFault(problem),
    () => chanceNameFault(problem),
    () => (problem.batch && problem.batch.relation !== '=' ? "problem.batch.relation: must be '=' where limits hold by chance" : null),
    () => (problem.batch ? null : 'problem.batch: must be given where limits hold by chance'),
    () =>
      each(problem.chance, ({ nutrient }) =>
        each(problem.ingredients, (ingredient, i) =>
          valueOf(ingredient.nutrients, nutrient) === undefined
            ? `problem.ingredients[${i}].nutrients.${nutrient}: must be given, 0 where the ingredient has none`
            : null,
        ),
      ),
  )

export function multiFault(problem: MultiProblem): Fault {
  const known = idsOf(problem.ingredients)
  const products = idsOf(problem.products)
  const cells = new Set(problem.products.flatMap((product) => problem.ingredients.map((one) => cellId(one.id, product.id))))
  const summed = new Set([...cells, ...problem.ingredients.map(({ id }) => nameInCell(id))])
  return firstOf(
    () => repeated('problem.ingredients', problem.ingredients),
    () => repeated('problem.products', problem.products),
    () => repeated('problem.totals', problem.totals),
    () => repeated('problem.linear', problem.linear),
    () => repeated('problem.logic', problem.logic),
    () =>
      each(problem.ingredients, (one, i) =>
        stranger(`problem.ingredients[${i}].costByProduct`, Object.keys(one.costByProduct ?? {}), products, 'a product'),
      ),
    () =>
      each(problem.products, (product, i) =>
        firstOf(
          () => blendFault(`problem.products[${i}]`, product, known),
          () => stranger(`problem.products[${i}].ingredientLimits`, Object.keys(product.ingredientLimits ?? {}), known, 'an ingredient'),
          () => contentFault(`problem.products[${i}]`, product, problem.ingredients),
        ),
      ),
    () =>
      each(problem.totals, (total, i) =>
        firstOf(
          () => strangerAt(`problem.totals[${i}].ingredients`, total.ingredients ?? [], known, 'an ingredient'),
          () => strangerAt(`problem.totals[${i}].products`, total.products ?? [], products, 'a product'),
        ),
      ),
    () =>
      each(problem.linear, (row, i) =>
        stranger(`problem.linear[${i}].coefs`, Object.keys(row.coefs), summed, 'an ingredient, nor an ingredient@product'),
      ),
    () => logicFault('problem', problem.logic, cells, 'an ingredient@product'),
    () => multiStepFault(problem),
  )
}

export function modelFault({ vars, rows }: LinearModel): Fault {
  const known = idsOf(vars)
  return firstOf(
    () => repeated('problem.model.vars', vars),
    () => repeated('problem.model.rows', rows),
    () => each(rows, (row, i) => stranger(`problem.model.rows[${i}].coefs`, Object.keys(row.coefs), known, 'a variable')),
  )
}

import type { ChanceProblem } from '#core/formulation/chance'
import type { LinearModel } from '#core/formulation/linear-model'
import { blendOf, type MultiProblem } from '#core/formulation/multi'
import { nutrientsNeeded, valueOf, type FormulaProblem, type ProblemLogic } from '#core/formulation/problem'

/** What is wrong with a member, and which: `problem.linear[0].coefs.rye: is not an ingredient`. Null where nothing is. */
export type Fault = string | null

const firstOf = (...faults: readonly (() => Fault)[]): Fault => {
  for (const fault of faults) {
    const found = fault()
    if (found !== null) return found
  }
  return null
}

function repeated(path: string, items: readonly { readonly id: string }[] = []): Fault {
  const seen = new Set<string>()
  for (const [i, item] of items.entries()) {
    if (seen.has(item.id)) return `${path}[${i}].id: '${item.id}' stands twice`
    seen.add(item.id)
  }
  return null
}

function stranger(path: string, names: readonly string[], known: ReadonlySet<string>, what: string): Fault {
  const found = names.find((name) => !known.has(name))
  return found === undefined ? null : `${path}.${found}: is not ${what}`
}

function strangerAt(path: string, names: readonly string[], known: ReadonlySet<string>, what: string): Fault {
  const at = names.findIndex((name) => !known.has(name))
  return at < 0 ? null : `${path}[${at}]: '${names[at] ?? ''}' is not ${what}`
}

const each = <T>(items: readonly T[] | undefined, fault: (item: T, i: number) => Fault): Fault =>
  firstOf(...(items ?? []).map((item, i) => () => fault(item, i)))

function logicFault(path: string, logic: readonly ProblemLogic[] | undefined, known: ReadonlySet<string>, what: string): Fault {
  return each(logic, (one, i) => {
    if (one.type !== 'implies') return strangerAt(`${path}.logic[${i}].items`, one.items, known, what)
    const missing = (['if', 'then'] as const).find((member) => !known.has(one[member]))
    return missing === undefined ? null : `${path}.logic[${i}].${missing}: '${one[missing]}' is not ${what}`
  })
}

type Blend = Omit<FormulaProblem, 'ingredients'>

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

function missingContent(problem: FormulaProblem, nameOf = (nutrient: string) => nutrient): Fault {
  return each(problem.ingredients, (ingredient, i) => {
    const missing = nutrientsNeeded(problem).find((nutrient) => valueOf(ingredient.nutrients, nutrient) === undefined)
    return missing === undefined
      ? null
      : `problem.ingredients[${i}].nutrients.${nameOf(missing)}: must be given, 0 where the ingredient has none`
  })
}

const idsOf = (items: readonly { readonly id: string }[]): ReadonlySet<string> => new Set(items.map((item) => item.id))

/** Faults between the members of a formula: ids that stand twice, that nothing has, or contents that a limit needs and nobody gave. */
export const formulaFault = (problem: FormulaProblem): Fault =>
  firstOf(
    () => repeated('problem.ingredients', problem.ingredients),
    () => blendFault('problem', problem, idsOf(problem.ingredients)),
    () => missingContent(problem),
  )

export const chanceFault = (problem: ChanceProblem): Fault =>
  firstOf(
    () => formulaFault(problem),
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
  const cells = new Set(problem.products.flatMap((product) => problem.ingredients.map((one) => `${one.id}@${product.id}`)))
  const summed = new Set([...cells, ...known])
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
          () => missingContent(blendOf(problem, product), (nutrient) => nutrient.slice(0, nutrient.length - product.id.length - 1)),
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

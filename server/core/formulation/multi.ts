import { choicesOf, type Choice } from './integer-choice.js'
import { changeAllowed, valueOf, type FormulaProblem, type ProblemIngredient, type ProblemLinear, type ProblemLogic } from './problem.js'
import { limitsOf, type NamedLimits, type NamedRow } from './program.js'
import { brokenLogic } from './recheck-choices.js'
import { recheck, RECHECK_ABSOLUTE, RECHECK_RELATIVE, type Violation } from './recheck.js'
import type { Statement } from './statement.js'

type Sides = { readonly min?: number | undefined; readonly max?: number | undefined }

/** `min`, `max`, steps and least use of an ingredient hold in each product by itself; `stock` over all of them. */
export type MultiIngredient = ProblemIngredient & {
  readonly stock?: number | undefined
  /** Instead of `cost` in the products named. */
  readonly costByProduct?: { readonly [product: string]: number } | undefined
}

/** One product: a blend with limits of its own. */
export type MultiProduct = Pick<
  FormulaProblem,
  'batch' | 'inclusionBasis' | 'nutrients' | 'ratios' | 'linear' | 'logic' | 'groups' | 'previous'
> & {
  readonly id: string
  /** Instead of the ingredient's own `min` and `max`. */
  readonly ingredientLimits?: { readonly [ingredient: string]: Sides } | undefined
  /** Added to the cost of every unit of the product. */
  readonly processCost?: number | undefined
}

/** A limit on the sum of all amounts, or of those of the ingredients and products named. */
export type MultiTotal = Sides & {
  readonly id: string
  readonly ingredients?: readonly string[] | undefined
  readonly products?: readonly string[] | undefined
}

/** Several products from shared ingredients (kind `multi`). Amounts are by `ingredient@product` (see `cellId`). */
export type MultiProblem = {
  readonly ingredients: readonly MultiIngredient[]
  readonly products: readonly MultiProduct[]
  readonly totals?: readonly MultiTotal[] | undefined
  /** Rows over all products: coefficients by `ingredient@product`, or by ingredient for that ingredient in every product. */
  readonly linear?: readonly ProblemLinear[] | undefined
  /** Over `ingredient@product`. */
  readonly logic?: readonly ProblemLogic[] | undefined
  readonly inclusionBasis?: FormulaProblem['inclusionBasis']
  readonly bigM?: number | undefined
}

/** A name as it stands in `name@product`: an `@` of its own is `\@`, a backslash two, so that no two pairs have one name. */
export const nameInCell = (id: string): string => id.replace(/[\\@]/g, '\\$&')
export const cellId = (id: string, product: string): string => `${nameInCell(id)}@${nameInCell(product)}`

type Cell = { readonly ingredient: MultiIngredient; readonly product: MultiProduct; readonly id: string }

const cellsOf = ({ ingredients, products }: MultiProblem): readonly Cell[] =>
  products.flatMap((product) => ingredients.map((ingredient) => ({ ingredient, product, id: cellId(ingredient.id, product.id) })))

const batchId = (product: MultiProduct): string => cellId('batch', product.id)

const costOf = ({ ingredient, product }: Cell): number =>
  (valueOf(ingredient.costByProduct, product.id) ?? ingredient.cost) + (product.processCost ?? 0)

const renamed = <T>(record: { readonly [name: string]: T }, name: (id: string) => string): { readonly [name: string]: T } =>
  Object.fromEntries(Object.entries(record).map(([id, value]) => [name(id), value]))

function logicAt(logic: ProblemLogic, at: (id: string) => string): ProblemLogic {
  const id = at(logic.id)
  return logic.type === 'implies' ? { ...logic, id, if: at(logic.if), then: at(logic.then) } : { ...logic, id, items: logic.items.map(at) }
}

const previousAt = (product: MultiProduct, problem: MultiProblem, at: (id: string) => string): FormulaProblem['previous'] => {
  const { previous } = product
  if (!previous) return undefined
  const changes = problem.ingredients.flatMap(({ id }) => {
    const change = changeAllowed(previous, id)
    return change === undefined ? [] : [[at(id), change] as const]
  })
  return { amounts: renamed(previous.amounts, at), maxChange: Object.fromEntries(changes) }
}

/** A product as a blend by itself, every id in it marked with `@product`. */
function blendOf(problem: MultiProblem, product: MultiProduct): FormulaProblem {
  const at = (id: string): string => cellId(id, product.id)
  return {
    batch: product.batch,
    inclusionBasis: product.inclusionBasis ?? problem.inclusionBasis,
    ingredients: problem.ingredients.map(({ stock: _stock, costByProduct: _cost, ...ingredient }, i) => {
      const own = product.ingredientLimits && Object.hasOwn(product.ingredientLimits, ingredient.id)
      const { min, max } = { ...ingredient, ...(own ? product.ingredientLimits?.[ingredient.id] : {}) }
      const cost = costOf({ ingredient: problem.ingredients[i] ?? ingredient, product, id: '' })
      return { ...ingredient, id: at(ingredient.id), cost, min, max, nutrients: renamed(ingredient.nutrients ?? {}, at) }
    }),
    nutrients: product.nutrients?.map((nutrient) => ({ ...nutrient, id: at(nutrient.id) })),
    ratios: product.ratios?.map((ratio) => ({
      ...ratio,
      id: at(ratio.id),
      numerator: renamed(ratio.numerator, at),
      denominator: renamed(ratio.denominator, at),
    })),
    linear: product.linear?.map((row) => ({ ...row, id: at(row.id), coefs: renamed(row.coefs, at) })),
    logic: product.logic?.map((logic) => logicAt(logic, at)),
    groups: product.groups?.map((group) => ({ ...group, id: at(group.id), items: group.items.map(at) })),
    previous: previousAt(product, problem, at),
    bigM: problem.bigM,
  }
}

/** A sum over all products with its limits and the coefficient of each cell. */
type Shared = Sides & { readonly id: string; readonly coefficient: (cell: Cell) => number }

function sharedOf(problem: MultiProblem): readonly Shared[] {
  return [
    ...problem.ingredients.flatMap(({ id, stock }) =>
      stock === undefined ? [] : [{ id: `stock:${id}`, max: stock, coefficient: ({ ingredient }: Cell) => (ingredient.id === id ? 1 : 0) }],
    ),
    ...(problem.totals ?? []).map(({ id, min, max, ingredients, products }) => ({
      id: `total:${id}`,
      min,
      max,
      coefficient: (cell: Cell) =>
        (ingredients?.includes(cell.ingredient.id) ?? true) && (products?.includes(cell.product.id) ?? true) ? 1 : 0,
    })),
    ...(problem.linear ?? []).map(({ id, min, max, coefs }) => ({
      id: `linear:${nameInCell(id)}`,
      min,
      max,
      coefficient: (cell: Cell) => valueOf(coefs, cell.id) ?? valueOf(coefs, nameInCell(cell.ingredient.id)) ?? 0,
    })),
  ]
}

const moved = (choice: Choice, by: number): Choice => {
  switch (choice.kind) {
    case 'multiple':
    case 'minIfUsed':
      return { ...choice, index: choice.index + by }
    case 'count':
      return { ...choice, indices: choice.indices.map((index) => index + by) }
    case 'implies':
      return { ...choice, index: choice.index + by, then: choice.then + by }
  }
}

/** The rules over all products as those of one blend of all cells, which have nothing else of their own but what is given. */
const acrossOf = (
  { logic }: MultiProblem,
  cells: readonly Cell[],
  own: (cell: Cell) => Pick<ProblemIngredient, 'minIfUsed'> = () => ({}),
): FormulaProblem => ({
  ingredients: cells.map((cell) => ({ id: cell.id, cost: 0, ...own(cell) })),
  logic: logic?.map((one) => ({ ...one, id: nameInCell(one.id) })),
})

/** All limits of all products by name, with the shared ones after them. */
export function multiLimits(problem: MultiProblem): NamedLimits {
  const cells = cellsOf(problem)
  const width = problem.ingredients.length
  const parts = problem.products.map((product, k) => ({ product, first: k * width, limits: limitsOf(blendOf(problem, product)) }))
  const wide = (row: NamedRow, first: number): readonly number[] => {
    const dense = cells.map(() => 0)
    for (const [i, value] of row.dense.entries()) dense[first + i] = value
    return dense
  }
  const across = acrossOf(problem, cells)
  return {
    costs: cells.map(costOf),
    rows: [
      ...parts.flatMap(({ product, first, limits }) =>
        limits.rows.map((row) => ({ ...row, id: row.id === 'batch' ? batchId(product) : row.id, dense: wide(row, first) })),
      ),
      ...sharedOf(problem).map(({ id, min, max, coefficient }) => ({
        id,
        lower: min ?? null,
        upper: max ?? null,
        dense: cells.map(coefficient),
      })),
    ],
    bounds: parts.flatMap(({ first, limits }) => limits.bounds.map((bound) => ({ ...bound, index: bound.index + first }))),
    choices: [...parts.flatMap(({ first, limits }) => (limits.choices ?? []).map((choice) => moved(choice, first))), ...choicesOf(across)],
  }
}

function brokenShared(problem: MultiProblem, amounts: readonly number[]): Violation[] {
  const cells = cellsOf(problem)
  return sharedOf(problem).flatMap(({ id, min, max, coefficient }) => {
    const terms = cells.map((cell, i) => coefficient(cell) * (amounts[i] ?? Number.NaN))
    const value = terms.reduce((sum, term) => sum + term, 0)
    const by = Math.max((min ?? value) - value, value - (max ?? value))
    const size = terms.reduce((sum, term) => sum + Math.abs(term), Math.max(Math.abs(min ?? 0), Math.abs(max ?? 0)))
    return by <= RECHECK_RELATIVE * size + RECHECK_ABSOLUTE ? [] : [{ id, by }]
  })
}

/** Every limit that amounts (by cell, product after product) break: each product checked as a blend, then what the products share. */
export function recheckMulti(problem: MultiProblem, amounts: readonly number[]): Violation[] {
  const width = problem.ingredients.length
  const cells = cellsOf(problem)
  return [
    ...problem.products.flatMap((product, k) =>
      recheck(blendOf(problem, product), amounts.slice(k * width, (k + 1) * width)).map(({ id, by }) => ({
        id: id === 'batch' ? batchId(product) : id,
        by,
      })),
    ),
    ...brokenShared(problem, amounts),
    // each product has judged its own least uses; here they only say what counts as used
    ...brokenLogic(
      acrossOf(problem, cells, ({ ingredient: { minIfUsed } }) => ({ minIfUsed })),
      amounts,
    ),
  ]
}

/** Several products, ready to be solved together. */
export const statementOfMulti = (problem: MultiProblem): Statement => {
  const cells = cellsOf(problem)
  return {
    ids: cells.map(({ id }) => id),
    limits: multiLimits(problem),
    recheck: (amounts) => recheckMulti(problem, amounts),
    costOf: (amounts) => cells.reduce((sum, cell, i) => sum + costOf(cell) * (amounts[i] ?? Number.NaN), 0),
    bigM: problem.bigM,
  }
}

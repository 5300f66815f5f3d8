import { z } from 'zod'
import { nutrientsNeeded, supportOf, valueOf, type FormulaProblem } from '#core/formulation/problem'

/** What a problem file holds: a problem to solve, something not yet supported, or a fault with the member it is in. */
export type ProblemFile =
  | { readonly kind: 'problem'; readonly problem: FormulaProblem }
  | { readonly kind: 'unsupported'; readonly what: string }
  | { readonly kind: 'malformed'; readonly message: string }

const finite = z.number('must be a number')
const notNegative = finite.nonnegative('must not be negative')
const id = z.string('must be a text').min(1, 'must not be empty')
const numbers = z.record(z.string(), finite, 'must be an object of numbers')
const list = <T extends z.ZodType>(of: T) => z.array(of, 'must be a list')
/** Remarks that cases carry beside their figures; any other unknown member is refused, because it may be a misspelt limit. */
const remarks = { info: z.unknown().optional(), note: z.unknown().optional(), name: z.unknown().optional(), unit: z.unknown().optional() }
const object = <T extends z.core.$ZodLooseShape>(shape: T) => z.strictObject({ ...remarks, ...shape }, 'must be an object')

const Ingredient = object({
  id,
  cost: finite,
  nutrients: numbers.optional(),
  min: notNegative.optional(),
  max: notNegative.optional(),
  integer: z.boolean('must be true or false').optional(),
  increment: finite.positive('must be above zero').optional(),
  minIfUsed: notNegative.optional(),
})
const Basis = z.enum(['total', 'concentration'], "must be 'total' or 'concentration'")
const Nutrient = object({ id, min: finite.optional(), max: finite.optional(), basis: Basis })
const Ratio = object({ id, numerator: numbers, denominator: numbers, min: finite.optional(), max: finite.optional() })
const Linear = object({ id, coefs: numbers, min: finite.optional(), max: finite.optional() })
const Batch = object({
  size: finite.positive('must be above zero'),
  relation: z.enum(['=', '>=', '<='], "must be '=', '>=' or '<='"),
  unit: z.string('must be a text').optional(),
})

const Problem = object({
  batch: Batch.optional(),
  inclusionBasis: z.enum(['fraction', 'amount'], "must be 'fraction' or 'amount'").optional(),
  ingredients: list(Ingredient).min(1, 'must name at least one ingredient'),
  nutrients: list(Nutrient).optional(),
  ratios: list(Ratio).optional(),
  linear: list(Linear).optional(),
  logic: list(z.unknown()).optional(),
  bigM: finite.optional(),
  sense: z.literal('min', "must be 'min'").optional(),
  unitOfAmounts: z.string('must be a text').optional(),
})

const pathOf = (path: readonly PropertyKey[]): string =>
  path.reduce<string>((text, part) => (typeof part === 'number' ? `${text}[${part}]` : text ? `${text}.${String(part)}` : String(part)), '')

function faultOf(issue: z.core.$ZodIssue): string {
  if (issue.code === 'unrecognized_keys') return `${pathOf(['problem', ...issue.path, issue.keys[0] ?? ''])}: is not a member of this form`
  return `${pathOf(['problem', ...issue.path])}: ${issue.message}`
}

function repeatedId(name: string, items: readonly { readonly id: string }[]): string | null {
  const seen = new Set<string>()
  for (const [i, item] of items.entries()) {
    if (seen.has(item.id)) return `problem.${name}[${i}].id: '${item.id}' stands twice`
    seen.add(item.id)
  }
  return null
}

/** Faults between members: ids that stand twice, that nothing has, or contents that a limit needs and nobody gave. */
function crossFault(problem: FormulaProblem): string | null {
  const lists = [
    ['ingredients', problem.ingredients],
    ['nutrients', problem.nutrients ?? []],
    ['ratios', problem.ratios ?? []],
    ['linear', problem.linear ?? []],
  ] as const
  for (const [name, items] of lists) {
    const repeated = repeatedId(name, items)
    if (repeated) return repeated
  }
  const ids = new Set(problem.ingredients.map((ingredient) => ingredient.id))
  for (const [i, row] of (problem.linear ?? []).entries()) {
    const stranger = Object.keys(row.coefs).find((name) => !ids.has(name))
    if (stranger !== undefined) return `problem.linear[${i}].coefs.${stranger}: is not an ingredient`
  }
  for (const [i, ingredient] of problem.ingredients.entries()) {
    const missing = nutrientsNeeded(problem).find((nutrient) => valueOf(ingredient.nutrients, nutrient) === undefined)
    if (missing !== undefined) return `problem.ingredients[${i}].nutrients.${missing}: must be given, 0 where the ingredient has none`
  }
  return null
}

/** Members of other kinds of problem that this form does not have. */
const OTHER_KINDS = ['products', 'totals', 'chance', 'model', 'mps'] as const

function readProblem(raw: object): ProblemFile {
  const other = OTHER_KINDS.find((name) => Object.hasOwn(raw, name))
  if (other) return { kind: 'unsupported', what: `problem.${other}` }
  const parsed = Problem.safeParse(raw)
  const first = parsed.error?.issues[0]
  if (!parsed.success) return { kind: 'malformed', message: first ? faultOf(first) : 'problem: cannot be read' }
  const fault = crossFault(parsed.data)
  if (fault) return { kind: 'malformed', message: fault }
  const support = supportOf(parsed.data)
  return support.kind === 'unsupported' ? support : { kind: 'problem', problem: parsed.data }
}

/** Reads the text of a problem file: JSON with a member `problem` in the form of `seed/reference/README.md`, and `kind` (left out: `formula`). */
export function readProblemFile(text: string): ProblemFile {
  let raw: unknown
  try {
    raw = JSON.parse(text)
  } catch (error) {
    return { kind: 'malformed', message: `the file is not JSON: ${error instanceof Error ? error.message : String(error)}` }
  }
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw)) return { kind: 'malformed', message: 'the file must hold one object' }
  const kind = 'kind' in raw ? raw.kind : 'formula'
  if (typeof kind !== 'string') return { kind: 'malformed', message: 'kind: must be a text' }
  if (kind !== 'formula') return { kind: 'unsupported', what: `kind '${kind}'` }
  if (!('problem' in raw) || typeof raw.problem !== 'object' || raw.problem === null)
    return { kind: 'malformed', message: 'problem: must be an object' }
  return readProblem(raw.problem)
}

/** Which side of a limit a row stands for; `eq` where minimum and maximum are one value. */
export type Side = 'min' | 'max' | 'eq'

/** Rules of whole numbers: on which are used together, steps, whole units, zero or at least so much. */
export type ChoiceKind = 'logic' | 'increment' | 'integer' | 'minIfUsed'

/** A limit that a row id names, typed, so that people can be told it in words. */
export type RowMeaning =
  | { readonly kind: 'batch' }
  | { readonly kind: 'nutrient'; readonly nutrient: string; readonly side: Side }
  | { readonly kind: 'ratio'; readonly ratioId: string; readonly side: Side }
  | { readonly kind: 'ingredient'; readonly ingredientId: string; readonly side: Side }
  | { readonly kind: 'group'; readonly groupId: string; readonly side: Side }
  | { readonly kind: 'stock'; readonly lotId: string }
  | { readonly kind: 'lot'; readonly lotId: string; readonly side: Side }
  | { readonly kind: 'linear'; readonly linearId: string }
  /** How far an ingredient may move from a previous mix. */
  | { readonly kind: 'change'; readonly ingredientId: string; readonly side: Side }
  /** What needs whole numbers: a rule on which ingredients are used (`logic`, id of the rule), or on one ingredient. */
  | { readonly kind: 'choice'; readonly of: ChoiceKind; readonly id: string }
  | { readonly kind: 'unknown'; readonly id: string }

/** Marks the copy of a nutrient in a mix problem whose unknown contents stand at their worst case (see `mix-problem.ts`). */
export const WORST = '~worst'

/** Ids of the linear rows that carry a mix's limits on ingredients and groups over all their lots. */
export const ingredientRow = (ingredientId: string, side: Side): string => `ingredient/${ingredientId}/${side}`
export const groupRow = (groupId: string, side: Side): string => `group/${groupId}/${side}`

const CHOICES: readonly ChoiceKind[] = ['logic', 'increment', 'integer', 'minIfUsed']
const isSide = (text: string): text is Side => text === 'min' || text === 'max' || text === 'eq'
const withoutWorst = (id: string): string => (id.endsWith(WORST) ? id.slice(0, -WORST.length) : id)

function sided(text: string, separator: string): { readonly id: string; readonly side: Side } | null {
  const at = text.lastIndexOf(separator)
  const side = text.slice(at + 1)
  return at > 0 && isSide(side) ? { id: text.slice(0, at), side } : null
}

function describeLinear(id: string): RowMeaning {
  const slash = id.indexOf('/')
  const rest = sided(id.slice(slash + 1), '/')
  if (rest && id.startsWith('ingredient/')) return { kind: 'ingredient', ingredientId: rest.id, side: rest.side }
  if (rest && id.startsWith('group/')) return { kind: 'group', groupId: rest.id, side: rest.side }
  return { kind: 'linear', linearId: id }
}

/** What a row id of a mix (in `binding`, `conflict`, `shadowPrices`) stands for; kind `unknown` for a text that is no row id. */
export function describeRow(id: string): RowMeaning {
  if (id === 'batch') return { kind: 'batch' }
  if (id.startsWith('linear:')) return describeLinear(id.slice('linear:'.length))
  const colon = id.indexOf(':')
  const kind = id.slice(0, colon)
  const choice = CHOICES.find((one) => one === kind)
  if (choice) return { kind: 'choice', of: choice, id: id.slice(colon + 1) }
  const rest = sided(id.slice(colon + 1), ':')
  if (!rest) return { kind: 'unknown', id }
  if (kind === 'nutrient') return { kind: 'nutrient', nutrient: withoutWorst(rest.id), side: rest.side }
  if (kind === 'ratio') return { kind: 'ratio', ratioId: withoutWorst(rest.id), side: rest.side }
  if (kind === 'group') return { kind: 'group', groupId: rest.id, side: rest.side }
  if (kind === 'change') return { kind: 'change', ingredientId: rest.id, side: rest.side }
  if (kind === 'ingredient' && rest.side === 'max') return { kind: 'stock', lotId: rest.id }
  if (kind === 'ingredient') return { kind: 'lot', lotId: rest.id, side: rest.side }
  return { kind: 'unknown', id }
}

import type { FormulaLimits } from '#core/formulation/limits'
import { ratiosOf } from '#core/formulation/mix-problem'
import { groupRow, ingredientRow, WORST, type Side } from '#core/formulation/row-id'

type Sides = { readonly min?: number | undefined; readonly max?: number | undefined }

/** A minimum and a maximum of contents are two rows even where they are one value: a maximum counts what is unknown at its worst. */
const contentRows = (kind: 'nutrient' | 'ratio', id: string, { min, max }: Sides): string[] => [
  ...(min === undefined ? [] : [`${kind}:${id}:min`]),
  ...(max === undefined ? [] : [`${kind}:${id}${WORST}:max`]),
]

/** A fixed share is one row of both sides. */
const shareRows = (rowOf: (side: Side) => string, { min, max }: Sides): string[] =>
  min !== undefined && min === max
    ? [`linear:${rowOf('eq')}`]
    : [...(min === undefined ? [] : [`linear:${rowOf('min')}`]), ...(max === undefined ? [] : [`linear:${rowOf('max')}`])]

/** The rows that limits have, as a mix names them: what can be asked about one of them. */
export const rowsOfLimits = (limits: FormulaLimits): string[] => [
  ...limits.nutrients.flatMap((limit) => contentRows('nutrient', limit.nutrient, limit)),
  ...ratiosOf(limits).flatMap((ratio) => contentRows('ratio', ratio.id, ratio)),
  ...limits.ingredients.flatMap(({ ingredientId, minPct: min, maxPct: max }) =>
    shareRows((side) => ingredientRow(ingredientId, side), { min, max }),
  ),
  ...limits.groups.flatMap(({ id, minPct: min, maxPct: max }) => shareRows((side) => groupRow(id, side), { min, max })),
]

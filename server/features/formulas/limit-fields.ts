import type { LimitsBody } from '#contract/formulas'
import { NUTRIENTS } from '#core/composition/nutrients'
import { fieldError, MillError, type FieldError } from '#core/errors'
import { henEnergyKcal } from '#core/requirement/hen-energy'
import { stageOf } from '#core/requirement/stages'
import type { Db, Tx } from '#platform/database/client'

type Medication = { readonly active: string; readonly mgPerKg: number; readonly ingredientId: string }

const repeated = (names: readonly string[], path: (index: number) => string): FieldError[] =>
  names.flatMap((name, index) =>
    names.indexOf(name) === index ? [] : [{ path: path(index), code: 'repeated', message: `${name} stands twice`, facts: { name } }],
  )

/** A share of the feed is between 0 and 100 %; nothing is below zero but the electrolyte balance. */
const impossible = ({ nutrients }: LimitsBody): FieldError[] =>
  nutrients.flatMap(({ nutrient, min, max }, index) => {
    const { unit } = NUTRIENTS[nutrient]
    const most = unit === '%' ? 100 : Number.POSITIVE_INFINITY
    const least = nutrient === 'DEB' ? Number.NEGATIVE_INFINITY : 0
    return [['min', min] as const, ['max', max] as const].flatMap(([side, value]) =>
      value === undefined || (value >= least && value <= most)
        ? []
        : [
            {
              path: `limits.nutrients.${index}.${side}`,
              code: 'out-of-range',
              message: `not possible in ${unit}`,
              facts: { nutrient, value, unit },
            },
          ],
    )
  })

type Named = { readonly id: string; readonly path: string }

const refuseUnknown = async (db: Db | Tx, named: readonly Named[]): Promise<void> => {
  const known = new Set(
    (await db.ingredient.findMany({ where: { id: { in: named.map(({ id }) => id) } }, select: { id: true } })).map(({ id }) => id),
  )
  const unknown = named.filter(({ id }) => !known.has(id))
  if (unknown.length === 0) return
  throw new MillError(
    'ingredient-unknown',
    { ingredients: unknown.map(({ id }) => id) },
    unknown.map(({ id, path }) => ({ path, code: 'unknown', message: `there is no ingredient ${id}` })),
  )
}

/** Limits a bird and day stand on the energy that the hen needs; without that they would be no limits at all. */
const unknownHen = ({ perDay }: LimitsBody): FieldError[] =>
  perDay === undefined || henEnergyKcal(perDay.birds) !== null
    ? []
    : [
        {
          path: 'limits.perDay.birds.gainG',
          code: 'out-of-range',
          message: 'a hen whose energy need is above nothing',
          facts: { ...perDay.birds },
        },
      ]

/** What the shapes of the contract cannot see: names that stand twice, and ingredients that the mill does not know. */
export const checkLimitFields = async (
  db: Db | Tx,
  { limits, medication }: { limits: LimitsBody; medication: Medication | null },
): Promise<void> => {
  const wrong = [
    ...impossible(limits),
    ...repeated(
      limits.nutrients.map(({ nutrient }) => nutrient),
      (index) => `limits.nutrients.${index}.nutrient`,
    ),
    ...repeated(
      limits.ratios.map(({ id }) => id),
      (index) => `limits.ratios.${index}.id`,
    ),
    ...repeated(
      limits.ingredients.map(({ ingredientId }) => ingredientId),
      (index) => `limits.ingredients.${index}.ingredientId`,
    ),
    ...repeated(
      limits.groups.map(({ id }) => id),
      (index) => `limits.groups.${index}.id`,
    ),
    ...repeated(limits.perDay?.limits.map(({ nutrient }) => nutrient) ?? [], (index) => `limits.perDay.limits.${index}.nutrient`),
    ...unknownHen(limits),
  ]
  if (wrong.length > 0) throw new MillError('bad-input', {}, wrong)
  const named = [
    ...limits.ingredients.map(({ ingredientId }, index) => ({ id: ingredientId, path: `limits.ingredients.${index}.ingredientId` })),
    ...limits.groups.flatMap(({ ingredientIds }, index) =>
      ingredientIds.map((id, place) => ({ id, path: `limits.groups.${index}.ingredientIds.${place}` })),
    ),
    ...(medication === null ? [] : [{ id: medication.ingredientId, path: 'medication.ingredientId' }]),
  ]
  await refuseUnknown(db, named)
}

type Asked = {
  readonly stage: string
  readonly limits: LimitsBody
  readonly medication: Medication | null
  readonly prices?: readonly { readonly ingredientId: string }[]
  readonly without?: readonly string[]
  readonly leaveOut?: readonly string[]
}

/** As checkLimitFields, for limits that are only tried: the stage must be known, and every ingredient whose price is tried or that is left out. */
export const checkSolveRequest = async (
  db: Db | Tx,
  { stage, limits, medication, prices = [], without = [], leaveOut = [] }: Asked,
): Promise<void> => {
  if (stageOf(stage) === undefined) throw fieldError('bad-input', 'stage', 'unknown', 'no requirement table knows this stage')
  const twice = repeated(leaveOut, (index) => `leaveOut.${index}`)
  if (twice.length > 0) throw new MillError('bad-input', {}, twice)
  await checkLimitFields(db, { limits, medication })
  await refuseUnknown(db, [
    ...prices.map(({ ingredientId }, index) => ({ id: ingredientId, path: `prices.${index}.ingredientId` })),
    ...without.map((id, index) => ({ id, path: `without.${index}` })),
  ])
}

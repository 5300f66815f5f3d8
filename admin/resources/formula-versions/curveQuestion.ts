import type { MixView } from '#contract/formulas'
import type { CurveView } from '#contract/solving'
import { NUTRIENTS, type NutrientId } from '#core/composition/nutrients'
import { PER_DAY } from '#core/requirement/intake'
import { groupRow, ingredientRow, WORST } from '#core/formulation/row-id'
import { formatAccount, formatPrice } from '../../format/money'
import { costAt, type CostPoint } from '../../ui/pictures/CostCurve'
import { sideTold, workedOutValue } from './explainedRows'
import { dayUnit, limitName, limitValue, type LimitWords } from './limitWords'
import type { SolveRequest } from './useSolve'

type Of = { readonly kind: 'limit'; readonly row: string } | { readonly kind: 'price'; readonly ingredientId: string }
export type CurveChoice = {
  /** The row of the limit, or the ingredient, with its kind before it. */
  readonly value: string
  readonly label: string
  /** What the axis is named. */
  readonly name: string
  readonly of: Of
  readonly from: number
  readonly to: number
  readonly unit: string
  readonly nutrient?: NutrientId | undefined
}

/** A limit is moved so far to each side, a price from half to double. */
const LIMIT_SPREAD = 0.15
const MOST_PCT = 100

/** Fifteen per cent to each side; what has nothing to be a share of moves one unit. Shares stay between 0 and 100 %. */
export const rangeAround = (now: number, unit: string): { readonly from: number; readonly to: number } => {
  const spread = now === 0 ? 1 : Math.abs(now) * LIMIT_SPREAD
  const tidy = (value: number): number => Number(value.toPrecision(6))
  const from = tidy(now - spread)
  const to = tidy(now + spread)
  return unit === '%' ? { from: Math.max(0, from), to: Math.min(MOST_PCT, to) } : { from, to }
}

/** A fixed share is mostly small, and what is asked is whether it is worth its place at all: from none of it to twice as much. */
const rangeOfFixed = (now: number) => ({ from: 0, to: now === 0 ? 1 : Math.min(MOST_PCT, 2 * now) })

const SIDES = ['min', 'max'] as const
type Sides<V> = { readonly min?: V | undefined; readonly max?: V | undefined }
type LimitAt = {
  readonly name: string
  readonly unit: string
  readonly sides: Sides<number>
  readonly rowOf: (side: 'min' | 'max') => string
  /** Of a share that is fixed: one row of both sides, which move together. */
  readonly fixedRow?: string
  readonly nutrient?: NutrientId
}

const choicesOf = ({ name, unit, sides, rowOf, nutrient, fixedRow }: LimitAt, words: LimitWords): CurveChoice[] => {
  const choice = (row: string, label: string, range: { readonly from: number; readonly to: number }): CurveChoice[] => [
    { value: `limit ${row}`, label, name, of: { kind: 'limit', row }, ...range, unit, nutrient },
  ]
  const figure = (value: number): string => limitValue(value, unit, nutrient)
  if (fixedRow !== undefined && sides.min !== undefined && sides.min === sides.max)
    return choice(fixedRow, words.t('explain.curveFixed', { name, value: figure(sides.min) }), rangeOfFixed(sides.min))
  return SIDES.flatMap((side) => {
    const now = sides[side]
    return now === undefined ? [] : choice(rowOf(side), sideTold(name, side, figure(now), words), rangeAround(now, unit))
  })
}

const shares = (limit: { minPct?: number | undefined; maxPct?: number | undefined }): Sides<number> => ({
  min: limit.minPct,
  max: limit.maxPct,
})

/** Every limit of a request that can be moved, with the range over which its cost is asked; those that cost something today come first. */
export const limitChoices = ({ limits }: SolveRequest, mix: MixView | undefined, words: LimitWords): CurveChoice[] => {
  const nameOf = (limit: Parameters<typeof limitName>[0]): string => limitName(limit, words)
  const worst = (id: string, side: 'min' | 'max'): string => (side === 'max' ? `${id}${WORST}` : id)
  const rows: LimitAt[] = [
    ...limits.nutrients.map(({ nutrient, min, max }) => ({
      name: nameOf({ kind: 'nutrient', nutrient }),
      unit: NUTRIENTS[nutrient].unit,
      sides: { min, max },
      rowOf: (side: 'min' | 'max') => `nutrient:${worst(nutrient, side)}:${side}`,
      nutrient,
    })),
    ...limits.ratios.map(({ id, numerator, denominator, min, max }) => ({
      name: nameOf({ kind: 'ratio', numerator, denominator }),
      unit: '',
      sides: { min, max },
      rowOf: (side: 'min' | 'max') => `ratio:${worst(id, side)}:${side}`,
    })),
    ...(limits.perDay?.limits ?? []).map(({ nutrient, minPerDay: min, maxPerDay: max }) => ({
      name: nameOf({ kind: 'per-day', nutrient }),
      unit: dayUnit(nutrient),
      sides: { min, max },
      rowOf: (side: 'min' | 'max') => `ratio:${worst(`${PER_DAY}${nutrient}`, side)}:${side}`,
      nutrient,
    })),
    ...limits.ingredients.map((limit) => ({
      name: nameOf({ kind: 'ingredient', ingredientId: limit.ingredientId }),
      unit: '%',
      sides: shares(limit),
      rowOf: (side: 'min' | 'max') => `linear:${ingredientRow(limit.ingredientId, side)}`,
      fixedRow: `linear:${ingredientRow(limit.ingredientId, 'eq')}`,
    })),
    ...limits.groups.map((limit) => ({
      name: nameOf({ kind: 'group', groupId: limit.id }),
      unit: '%',
      sides: shares(limit),
      rowOf: (side: 'min' | 'max') => `linear:${groupRow(limit.id, side)}`,
      fixedRow: `linear:${groupRow(limit.id, 'eq')}`,
    })),
  ]
  const costs = new Map(mix?.limitCosts.map(({ row, costPerTonneForStep }) => [row, costPerTonneForStep]))
  const costOf = ({ of }: CurveChoice): number => (of.kind === 'limit' ? (costs.get(of.row) ?? 0) : 0)
  return rows.flatMap((row) => choicesOf(row, words)).sort((a, b) => costOf(b) - costOf(a))
}

/** The price of every ingredient that the mix knows one of, the largest parts first, from half to double. */
export const priceChoices = (mix: MixView | undefined, { t, nameOf }: LimitWords): CurveChoice[] => {
  const largest = [...(mix?.amounts ?? [])].sort((a, b) => Number(b.kg) - Number(a.kg))
  const prices = new Map<string, number>()
  for (const { ingredientId, pricePerKg } of [...largest, ...(mix?.notUsed ?? [])])
    if (!prices.has(ingredientId) && Number(pricePerKg) > 0) prices.set(ingredientId, Number(pricePerKg))
  return [...prices].map(([ingredientId, price]) => {
    const label = t('explain.curveGroupPrices', { name: nameOf(ingredientId) })
    return {
      value: `price ${ingredientId}`,
      label,
      name: label,
      of: { kind: 'price', ingredientId },
      from: price / 2,
      to: price * 2,
      unit: '',
    }
  })
}

export type CurveTold = {
  readonly points: readonly CostPoint[]
  readonly nowText: string
  readonly sentence: string
}

const REASONS = ['no-such-limit', 'whole-amounts', 'infeasible'] as const

/** Why there is no curve; null where there is one. */
export const noCurveTold = ({ reason }: Pick<CurveView, 'reason'>, { t }: LimitWords): string | null =>
  reason === null ? null : t(`explain.curveReason.${REASONS.find((one) => one === reason) ?? 'other'}`)

/** So many points are told in the sentence; the table has all. */
const POINTS_TOLD = 4

const possibleTold = ({ feasibleFrom, feasibleTo }: CurveView, at: (value: number) => string, { t }: LimitWords): string => {
  if (feasibleFrom !== null && feasibleTo !== null) return t('explain.curvePossible', { from: at(feasibleFrom), to: at(feasibleTo) })
  if (feasibleFrom !== null) return t('explain.curvePossibleFrom', { from: at(feasibleFrom) })
  return feasibleTo === null ? '' : t('explain.curvePossibleTo', { to: at(feasibleTo) })
}

/** The curve as it is drawn, and in words: what a tonne costs now and where the slope changes. */
export const curveTold = (view: CurveView, choice: CurveChoice, words: LimitWords, currency: string): CurveTold => {
  const { t } = words
  const at = (value: number): string =>
    choice.of.kind === 'price' ? formatAccount(value, currency) : workedOutValue(value, view.unit, choice.nutrient)
  const money = (cost: number): string => formatPrice(cost, currency)
  const last = view.points.length - 1
  const points = view.points.map((point, i) => ({
    at: point.at,
    cost: point.costPerTonne,
    atText: at(point.at),
    costText: money(point.costPerTonne),
    between: view.exact && !point.turns && i > 0 && i < last,
  }))
  // today's limit as finely as it was set
  const nowText = choice.of.kind === 'price' ? at(view.now) : limitValue(view.now, view.unit, choice.nutrient)
  if (points.length === 0) return { points, nowText, sentence: t('explain.curveNothing', { from: at(choice.from), to: at(choice.to) }) }
  const cost = costAt(points, view.now)
  const now = cost === undefined ? t('explain.curveNowNone', { at: nowText }) : t('explain.curveNow', { at: nowText, money: money(cost) })
  // the ends of what was asked are no break points
  const bends = points.slice(1, -1).filter((point) => point.at !== view.now && !point.between)
  const near = [...bends].sort((a, b) => Math.abs(a.at - view.now) - Math.abs(b.at - view.now)).slice(0, POINTS_TOLD)
  const breaks = near
    .sort((a, b) => a.at - b.at)
    .map(({ atText, costText }) => t('explain.curveBreak', { at: atText, money: costText }))
    .join('; ')
  const turns = breaks === '' ? '' : t(view.exact ? 'explain.curveBreaks' : 'explain.curvePoints', { breaks })
  return { points, nowText, sentence: [now, turns, possibleTold(view, at, words)].filter(Boolean).join(' ') }
}

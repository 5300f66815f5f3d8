import type { CurveView } from '#contract/solving'
import { fieldError } from '#core/errors'
import type { Curve } from '#core/formulation/parametric-curve'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { askedOf, describeLimit, type Asked, type LimitFacts } from './describe-limit.js'
import { rowsOfLimits } from './limit-rows.js'
import { tidy, toldUnitOf } from './limit-units.js'
import { medicineKey } from './medicated-lots.js'
import { decidingPrice, prepareMix, type PreparedMix, type SolveRequest } from './prepare-mix.js'

type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }
export type CurveRequest = SolveRequest & {
  readonly of: { readonly kind: 'limit'; readonly row: string } | { readonly kind: 'price'; readonly ingredientId: string }
  readonly from: number
  readonly to: number
}

const NONE: Omit<CurveView, 'unit' | 'now'> = { exact: true, feasibleFrom: null, feasibleTo: null, points: [], reason: null }

/** Of twenty limits that all ask for certainty a curve took 4 to 5 s on a busy machine (measured); a request ends after ten. */
const DEADLINE_MS = 8_000

type Moving = { readonly unit: number; readonly priced: boolean }

/** `priced`: the curve runs over a price, whose slope is the kilograms of the ingredient. */
const pointsOf = ({ points }: Curve, { batchKg }: PreparedMix, { unit, priced }: Moving): CurveView['points'] =>
  points.map(({ at, cost, slopeLeft, slopeRight, turns }) => {
    const kg = priced ? (slopeRight ?? slopeLeft) : null
    return {
      at: tidy(at * unit),
      costPerTonne: tidy((cost / Number(batchKg)) * 1000),
      turns,
      pct: kg === null ? null : tidy((kg / Number(batchKg)) * 100),
    }
  })

const lotsOf = ({ counted }: PreparedMix, ingredientId: string) =>
  counted.filter((lot) => lot.ingredientId === ingredientId || lot.ingredientId === medicineKey(ingredientId))

/** The limit that is asked about, as facts. Only what the limits set, or what is in store, can run over a range: not the mass itself, whose cost a tonne is asked. */
const limitAsked = ({ limits }: SolveRequest, row: string, asked: Asked): LimitFacts => {
  const facts = describeLimit(row, asked)
  const rows = rowsOfLimits(limits)
  if (!rows.includes(row) && !(facts['kind'] === 'stock' && facts['value'] !== null))
    throw fieldError('bad-input', 'of.row', 'unknown', `no limit of these has this row; they have ${rows.join(', ')}`, { row, rows })
  return facts
}

/** What the cheapest mix costs as one limit runs over a range, all else as it is. */
const limitCurve = async (means: Means, row: string, { from, to, ...request }: Omit<CurveRequest, 'of'>): Promise<CurveView> => {
  const prepared = await prepareMix(means, request)
  const asked = askedOf(prepared)
  const facts = limitAsked(request, row, asked)
  const unit = toldUnitOf(row, asked.batchKg)
  const view = { ...NONE, unit: String(facts['unit'] ?? ''), now: Number(facts['value']) }
  const { problem } = prepared.problem
  const range = { from: from / unit, to: to / unit }
  const answer = await means.pool.run('curve', { problem, of: { kind: 'limit', rowId: row }, range }, { deadlineMs: DEADLINE_MS })
  if (answer.kind === 'failed') return { ...view, reason: answer.reason }
  if (answer.value.kind === 'none') return { ...view, reason: answer.value.reason }
  const { exact, feasible } = answer.value
  return {
    ...view,
    exact,
    feasibleFrom: feasible.from === null ? null : tidy(feasible.from * unit),
    feasibleTo: feasible.to === null ? null : tidy(feasible.to * unit),
    points: pointsOf(answer.value, prepared, { unit, priced: false }),
  }
}

/** The same over the price of one ingredient. */
const priceCurve = async (means: Means, ingredientId: string, { from, to, ...request }: Omit<CurveRequest, 'of'>): Promise<CurveView> => {
  const prepared = await prepareMix(means, request)
  const lotIds = lotsOf(prepared, ingredientId).map(({ id }) => id)
  const known = prepared.lots.find(({ id }) => id === lotIds[0])
  if (known === undefined) throw fieldError('bad-input', 'of.ingredientId', 'unknown', 'no lot of it may enter this mix')
  const view = { ...NONE, unit: 'per kg', now: Number(decidingPrice(known)) }
  const { problem } = prepared.problem
  const answer = await means.pool.run(
    'curve',
    { problem, of: { kind: 'price', ids: lotIds }, range: { from, to } },
    { deadlineMs: DEADLINE_MS },
  )
  if (answer.kind === 'failed') return { ...view, reason: answer.reason }
  if (answer.value.kind === 'none') return { ...view, reason: answer.value.reason }
  return { ...view, exact: answer.value.exact, points: pointsOf(answer.value, prepared, { unit: 1, priced: true }) }
}

export const costCurve = (means: Means, { of, ...request }: CurveRequest): Promise<CurveView> =>
  of.kind === 'limit' ? limitCurve(means, of.row, request) : priceCurve(means, of.ingredientId, request)

import type { ExplanationView } from '#contract/solving'
import type { Explanation, ExplainedRelaxation } from '#core/formulation/explain'
import { hasCertainty } from '#core/formulation/certainty-rows'
import type { Formulation } from '#core/formulation/formulate'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { certaintyCosts } from './certainty-costs.js'
import { askedOf, describeLimit, type Asked } from './describe-limit.js'
import { tidy, toldUnitOf } from './limit-units.js'
import { prepareMix, type PreparedMix } from './prepare-mix.js'
import { repairingPurchase, type NeededRequest } from './repairing-purchase.js'

type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }
type Limits = ExplanationView['limits']
type Relaxations = ExplanationView['relaxations']

/** Long enough for a formula of sixty lots, short enough for somebody who looks at the page. */
const BUDGET_MS = 2_000

const NOTHING: ExplanationView = {
  kind: 'failed',
  reason: null,
  limits: [],
  prices: [],
  ranges: 'exact',
  complete: true,
  certainty: null,
  relaxations: [],
  together: [],
  purchase: null,
  noPurchase: null,
}

const limitsOf = (explained: Extract<Explanation, { kind: 'optimal' }>, asked: Asked): Limits =>
  explained.limits
    .filter(({ savesPerTonne }) => savesPerTonne > 0)
    .map(({ rowId, limit, easedTo, savesPerTonne, holds }) => {
      const unit = toldUnitOf(rowId, asked.batchKg)
      const facts = describeLimit(rowId, asked)
      // where no range is known the saving is that of this one step
      const end = holds === undefined ? easedTo : easedTo < limit ? holds.from : holds.to
      return {
        row: rowId,
        limit: { ...facts },
        from: tidy(limit * unit),
        to: tidy(easedTo * unit),
        unit: String(facts['unit'] ?? ''),
        savesPerTonne: tidy(savesPerTonne),
        holdsTo: end === null ? null : tidy(end * unit),
      }
    })

const pricesOf = (explained: Extract<Explanation, { kind: 'optimal' }>, { lots, counted }: PreparedMix): ExplanationView['prices'] =>
  explained.ingredients.flatMap((one) => {
    const lotId = counted.find(({ ingredientId }) => ingredientId === one.ingredientId)?.id
    const lot = lots.find(({ id }) => id === lotId)
    if (lot === undefined) return []
    const stays = one.used ? one.stays : undefined
    return [
      {
        ingredientId: lot.ingredientId,
        ingredientNameEn: lot.ingredientNameEn,
        ingredientNameSw: lot.ingredientNameSw,
        used: one.used,
        pricePerKg: one.price,
        staysFrom: stays?.from ?? null,
        staysTo: stays?.to ?? null,
        staysKnown: stays !== undefined,
        entersBelow: one.used ? null : one.breakEven,
      },
    ]
  })

const relaxed =
  (asked: Asked) =>
  (one: ExplainedRelaxation): Relaxations[number] => {
    const unit = toldUnitOf(one.rowId, asked.batchKg)
    const facts = describeLimit(one.rowId, asked)
    return {
      row: one.rowId,
      limit: { ...facts },
      from: tidy(one.from * unit),
      to: tidy(one.toSensible * unit),
      unit: String(facts['unit'] ?? ''),
    }
  }

/** Rows that nobody can give way on: the batch itself, what is in store, and the dose of a medicine. */
const fixedRows = (found: Formulation, { counted }: PreparedMix, asked: Asked): string[] => [
  'batch',
  ...counted.map(({ id }) => `ingredient:${id}:max`),
  ...conflictOf(found).filter((row) => describeLimit(row, asked)['kind'] === 'medicine'),
]

const conflictOf = (found: Formulation): readonly string[] => (found.status === 'infeasible' ? found.conflict : [])

/**
 * Why the mix of a request is as it is: what each limit at its edge costs and how far that holds, between which prices each lot stays,
 * what certainty costs; where there is no mix, the least changes of limits and the cheapest purchase that would make one.
 */
export const explainMix = async (means: Means, request: NeededRequest): Promise<ExplanationView> => {
  const prepared = await prepareMix(means, request)
  const { problem } = prepared.problem
  const found = await means.pool.formulate(problem)
  if (found.status === 'failed') return { ...NOTHING, reason: found.reason }
  const asked = askedOf(prepared)
  const priceOf = Object.fromEntries(prepared.counted.map(({ id, ingredientId }) => [id, ingredientId]))
  const answer = await means.pool.run('explain', {
    problem,
    found,
    budgetMs: BUDGET_MS,
    fixed: fixedRows(found, prepared, asked),
    priceOf,
  })
  if (answer.kind === 'failed') return { ...NOTHING, reason: answer.reason }
  const explained = answer.value
  switch (explained.kind) {
    case 'optimal': {
      const certain = hasCertainty(problem)
      const certainty = certain ? await certaintyCosts(means, prepared) : null
      return {
        ...NOTHING,
        kind: 'optimal',
        limits: limitsOf(explained, asked),
        prices: pricesOf(explained, prepared),
        ranges: certain ? 'not-told-under-certainty' : 'exact',
        complete: explained.complete && (!certain || certainty !== null),
        certainty,
      }
    }
    case 'infeasible':
      return {
        ...NOTHING,
        kind: 'infeasible',
        relaxations: explained.single.map(relaxed(asked)),
        together: (explained.joint ?? []).map(relaxed(asked)),
        ...(await repairingPurchase(means, request, prepared)),
      }
    case 'none':
      return { ...NOTHING, reason: explained.reason }
    default:
      return explained satisfies never
  }
}

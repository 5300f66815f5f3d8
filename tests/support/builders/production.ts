import { dayFromNow } from './days.js'
import { allowedRange } from '#core/milling/scales'
import { formatKg, grams, gramsFromFloatKg } from '#core/quantity/mass'
import { reserveLots } from '#features/stock/ledger'
import type { Db, Tx } from '#platform/database/client'
import { newId } from '#platform/new-id'
import type { Agent } from '../agent.js'
import { createUser } from '../users.js'
import { makeVersion, type FormulaFacts } from './formulas.js'
import { makeLot } from './lots.js'
import { makeFlock, type FlockFacts } from './members.js'
import { makeMixer, makeOrder } from './orders.js'

export type Weighed = { readonly lotId: string; readonly kg: number }
export type PlannedFacts = {
  /** What each load takes of each lot; all loads are alike. */
  readonly lines?: readonly Weighed[]
  /** What of each load is weighed on the table scale. */
  readonly preBlend?: readonly Weighed[]
  readonly loads?: number
  readonly mixerId?: string
  readonly formula?: FormulaFacts
  readonly flock?: FlockFacts
  readonly medication?: { readonly active: string; readonly mgPerKg: number }
}
export type PlannedOrder = {
  readonly orderId: string
  readonly memberId: string
  readonly mixerId: string
  readonly batchIds: readonly string[]
  readonly loadKg: number
  readonly lines: readonly Weighed[]
  readonly preBlend: readonly Weighed[]
}

const FLOOR_STEP = grams(100)
const TABLE_STEP = grams(1)

const rowsOf = (batchId: string, lines: readonly Weighed[], preBlend: readonly Weighed[]) => {
  const blendKg = preBlend.reduce((sum, { kg }) => sum + kg, 0)
  const whole = [...lines, ...(blendKg > 0 ? [{ lotId: null, kg: blendKg }] : [])]
  const rows = (part: string, scale: string, parts: readonly { lotId: string | null; kg: number }[]) => {
    let runningKg = 0
    return parts.map(({ lotId, kg }, i) => {
      runningKg += kg
      const target = gramsFromFloatKg(kg)
      const range = allowedRange(target, scale === 'floor' ? FLOOR_STEP : TABLE_STEP)
      return {
        batchId,
        part,
        position: i + 1,
        lotId,
        scale,
        targetKg: formatKg(target),
        allowedLowKg: formatKg(range.allowedLow),
        allowedHighKg: formatKg(range.allowedHigh),
        runningKg: formatKg(gramsFromFloatKg(runningKg)),
      }
    })
  }
  return [...rows('load', 'floor', whole), ...rows('pre-blend', 'table', preBlend)]
}

const reserve = (tx: Tx, orderId: string, actorId: string, parts: readonly Weighed[], loads: number): Promise<void> =>
  reserveLots(tx, {
    id: newId(),
    orderId,
    lines: parts.map(({ lotId, kg }) => ({ lotId, kg: formatKg(gramsFromFloatKg(kg * loads)) })),
    happenedAt: new Date(),
    actorId,
    today: dayFromNow(0),
  })

/** Maize, soya and salt for a load of 100 kg that no safety check blocks for pullets of the default formula; no recipe. */
export const usualLines = async (db: Db, facts: { readonly maizeKg?: string } = {}): Promise<Weighed[]> => {
  const netKg = facts.maizeKg ?? '5000.000'
  return [
    { lotId: (await makeLot(db, { ingredientId: 'maize_white', netKg, assays: { aflatoxin_total: 2 } })).id, kg: 69.5 },
    { lotId: (await makeLot(db, { ingredientId: 'soybean_meal_44', netKg: '5000.000', assays: { urea: 0 } })).id, kg: 30 },
    { lotId: (await makeLot(db, { ingredientId: 'salt', netKg: '50.000' })).id, kg: 0.5 },
  ]
}

/** An order as planning leaves it: loads with their rows, and the sum of the loads reserved lot by lot. */
export const makePlannedOrder = async (db: Db, facts: PlannedFacts = {}): Promise<PlannedOrder> => {
  const { loads = 1, preBlend = [] } = facts
  const lines = facts.lines ?? (await usualLines(db))
  const loadKg = [...lines, ...preBlend].reduce((sum, { kg }) => sum + kg, 0)
  const version = await makeVersion(db, { stage: 'layer_grower_6_12wk', limits: {}, ...facts.formula })
  const flock = await makeFlock(db, { ageWeeks: 8, ...facts.flock })
  const mixerId = facts.mixerId ?? (await makeMixer(db)).id
  const order = await makeOrder(db, {
    flockId: flock.id,
    formulaVersionId: version.id,
    kg: formatKg(gramsFromFloatKg(loadKg * loads)),
    status: 'planned',
  })
  const planner = await createUser(db, { role: 'manager' })
  const batchIds = Array.from({ length: loads }, () => newId())
  await db.$transaction(async (tx) => {
    await reserve(tx, order.id, planner.id, [...lines, ...preBlend], loads)
    for (const [i, id] of batchIds.entries()) {
      await tx.batch.create({
        data: {
          id,
          orderId: order.id,
          mixerId,
          loadOfOrder: i + 1,
          loadKg: formatKg(gramsFromFloatKg(loadKg)),
          ...(facts.medication === undefined ? {} : { medication: facts.medication }),
          plannedBy: planner.id,
          plannedAt: new Date(),
          bagKg: '50.000',
        },
      })
      await tx.batchLine.createMany({ data: rowsOf(id, lines, preBlend) })
    }
  })
  return { orderId: order.id, memberId: order.memberId, mixerId, batchIds, loadKg, lines, preBlend }
}

/** The weights of a load exactly as its sheet asks for them. */
export const asPlanned = ({ lines, preBlend }: PlannedOrder) => {
  const blendKg = preBlend.reduce((sum, { kg }) => sum + kg, 0)
  const load = [...lines.map(({ kg }) => kg), ...(blendKg > 0 ? [blendKg] : [])]
  const weight = (part: 'load' | 'pre-blend') => (kg: number, i: number) => ({
    part,
    position: i + 1,
    actualKg: formatKg(gramsFromFloatKg(kg)),
  })
  return [...load.map(weight('load')), ...preBlend.map(({ kg }) => kg).map(weight('pre-blend'))]
}

/** Only the weighing and bagging of a planned order, over HTTP as the mill does it; the order is ready afterwards. */
export const mixAll = async (mixer: Agent, planned: PlannedOrder): Promise<void> => {
  for (const id of planned.batchIds) {
    const started = await mixer.post(`/batches/${id}/start`, {}, { revision: 1 })
    if (started.status !== 200) throw new Error(started.text)
    const body = { weights: asPlanned(planned), madeKg: formatKg(gramsFromFloatKg(planned.loadKg)) }
    const done = await mixer.post(`/batches/${id}/finish`, body, { revision: 2 })
    if (done.status !== 200) throw new Error(done.text)
  }
}

import { collectOrder } from '#features/delivery/collect-order'
import { cancelOrder } from '#features/orders/cancel-order'
import { placeOrder } from '#features/orders/place-order'
import { planOrder } from '#features/planning/plan-order'
import { finishBatch } from '#features/production/finish-batch'
import { startBatch } from '#features/production/start-batch'
import { addDays, plainDate } from '#platform/mill-day'
import { flockKey, type DemoIds } from './members-past.js'
import { ORDERS, type DemoOrder } from './orders.js'
import { dice, type Deed, type MomentBefore, type Past } from './past.js'

const STEPS = ['ordered', 'planned', 'being-mixed', 'ready', 'collected']
const reaches = ({ until }: DemoOrder, step: string): boolean => STEPS.indexOf(until) >= STEPS.indexOf(step)

const versionOf = async (past: Past, nameEn: string): Promise<string> => {
  const { id } = await past.db.formulaVersion.findFirstOrThrow({ where: { status: 'approved', formula: { nameEn } }, select: { id: true } })
  return id
}
const revisionOf = async (past: Past, id: string): Promise<number> =>
  (await past.db.order.findUniqueOrThrow({ where: { id }, select: { revision: true } })).revision

type Line = {
  readonly targetKg: { toNumber(): number }
  readonly allowedLowKg: { toNumber(): number }
  readonly allowedHighKg: { toNumber(): number }
  readonly scale: string
}

/** Most weighings land on the target, some one step of the scale beside it. */
const weighed = (line: Line, roll: number): string => {
  const target = line.targetKg.toNumber()
  const step = line.scale === 'floor' ? 0.2 : 0.001
  const moved = target + (roll < 0.75 ? 0 : roll < 0.875 ? -step : step)
  const inside = moved >= line.allowedLowKg.toNumber() && moved <= line.allowedHighKg.toNumber()
  return (inside ? moved : target).toFixed(3)
}

/** One weighing of the demo went well past its range and was recorded as it was, so that the manager has something to close. */
const SLIPPED = { order: 22, position: 2, byKg: 2.6 }

type Load = { id: string; revision: number; loadKg: { toNumber(): number } }
type Mixing = { readonly index: number; readonly roll: () => number }

const mixOne = async (past: Past, batch: Load, { index, roll }: Mixing): Promise<void> => {
  const started = await past.do('mixer', startBatch, { id: batch.id, revision: batch.revision, flushed: false })
  const lines = await past.db.batchLine.findMany({ where: { batchId: batch.id }, orderBy: [{ part: 'desc' }, { position: 'asc' }] })
  const weights = lines.map((line) => {
    const slips = index === SLIPPED.order && line.part === 'load' && line.position === SLIPPED.position
    const actual = Number(weighed(line, roll())) + (slips ? SLIPPED.byKg : 0)
    return { part: line.part as 'load' | 'pre-blend', position: line.position, actualKg: actual.toFixed(3) }
  })
  const madeKg = (batch.loadKg.toNumber() * (1 - 0.001 - 0.002 * roll())).toFixed(1)
  await past.do('mixer', finishBatch, { id: batch.id, revision: started.revision, weights, madeKg, finishedAt: null, sheet: null })
}

const batchesOf = (past: Past, orderId: string) => past.db.batch.findMany({ where: { orderId }, orderBy: { loadOfOrder: 'asc' } })

const deedsOfOrder = (order: DemoOrder, index: number, when: MomentBefore, ids: DemoIds): Deed[] => {
  let id = ''
  const roll = dice(1_000 + index)
  const deeds: Deed[] = [
    {
      at: when(order.daysAgo, 10, index),
      run: async (past) => {
        const placed = await past.do('counter', placeOrder, {
          flockId: ids.flocks.get(flockKey(order.member, order.flock)) ?? '',
          formulaVersionId: await versionOf(past, order.feed),
          kg: String(order.kg),
          dueOn: addDays(plainDate(past.at), order.dueInDays),
        })
        id = placed.id
      },
    },
  ]
  const then = (daysAfter: number, hour: number, run: Deed['run']): void => {
    deeds.push({ at: when(order.daysAgo - daysAfter, hour, index), run })
  }
  if (order.until === 'cancelled')
    then(0, 16, async (past) => {
      await past.do('counter', cancelOrder, { id, revision: await revisionOf(past, id), reason: 'The member sold the birds' })
    })
  if (reaches(order, 'planned'))
    then(0, 17, async (past) => {
      await past.do('manager', planOrder, { id, revision: await revisionOf(past, id), mixerId: null })
    })
  if (order.until === 'being-mixed')
    then(1, 7, async (past) => {
      const [first] = await batchesOf(past, id)
      if (first !== undefined) await past.do('mixer', startBatch, { id: first.id, revision: first.revision, flushed: false })
    })
  if (reaches(order, 'ready'))
    then(1, 8, async (past) => {
      for (const batch of await batchesOf(past, id)) await mixOne(past, batch, { index, roll })
    })
  if (reaches(order, 'collected'))
    then(2, 11, async (past) => {
      const { collectionCode, revision } = await past.db.order.findUniqueOrThrow({ where: { id } })
      await past.do('counter', collectOrder, { id, revision, collectionCode, collectedAt: null, sheet: null })
    })
  return deeds
}

export const deedsOfOrders = (when: MomentBefore, ids: DemoIds): Deed[] =>
  ORDERS.flatMap((order, index) => deedsOfOrder(order, index, when, ids))

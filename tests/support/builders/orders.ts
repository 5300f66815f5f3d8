import type { Db } from '#platform/database/client'
import { newId } from '#platform/new-id'
import { createUser } from '../users.js'
import { makeLot, type BuiltLot } from './lots.js'
import { makeVersion } from './formulas.js'
import { dayFromNow } from './days.js'
import { makeFlock } from './members.js'

let count = 0

export type MixerFacts = { readonly maxLoadKg?: string; readonly minLoadKg?: string; readonly tableScaleMaxKg?: string }

/** A mixer of 500 kg with a floor scale of 100 g and a table scale of 1 g up to 10 kg. */
export const makeMixer = async (db: Db, facts: MixerFacts = {}): Promise<{ id: string }> => {
  count += 1
  const { id } = await db.mixer.create({
    data: {
      id: newId(),
      number: count,
      name: `Mixer ${count}`,
      maxLoadKg: '500.000',
      minLoadKg: '50.000',
      floorScaleStepG: 100,
      tableScaleStepG: 1,
      tableScaleMaxKg: '10.000',
      mixMinutes: 4,
      ...facts,
    },
  })
  return { id }
}

export type OrderFacts = {
  readonly flockId?: string
  readonly formulaVersionId?: string
  readonly kg?: string
  readonly status?: 'ordered' | 'planned' | 'ready' | 'cancelled'
  readonly dueOn?: string
}
export type BuiltOrder = { readonly id: string; readonly number: number; readonly memberId: string; readonly revision: number }

/** An order as the counter placed it. */
export const makeOrder = async (db: Db, facts: OrderFacts = {}): Promise<BuiltOrder> => {
  const flock = facts.flockId === undefined ? await makeFlock(db) : await db.flock.findUniqueOrThrow({ where: { id: facts.flockId } })
  const formulaVersionId = facts.formulaVersionId ?? (await makeVersion(db)).id
  const placedBy = (await createUser(db, { role: 'counter-clerk' })).id
  const { id, number, revision } = await db.order.create({
    data: {
      id: newId(),
      memberId: flock.memberId,
      flockId: flock.id,
      formulaVersionId,
      kg: facts.kg ?? '100.000',
      dueOn: new Date(`${facts.dueOn ?? dayFromNow(3)}T00:00:00Z`),
      status: facts.status ?? 'ordered',
      pricePerKg: '55.2000',
      priceTotal: '5520.00',
      collectionCode: '1234',
      placedBy,
      placedAt: new Date(),
    },
  })
  return { id, number, memberId: flock.memberId, revision }
}

const LAYER_FEED = [
  ['maize_white', '40.0000', { CP: 8.23, moisture: 12 }],
  ['soybean_meal_44', '95.0000', { CP: 45, moisture: 11 }],
  ['limestone', '12.0000', {}],
  ['salt', '25.0000', {}],
] as const
export type LayerLots = { readonly [Id in (typeof LAYER_FEED)[number][0]]: BuiltLot }

/** Released lots of which a layer feed within `LAYER_LIMITS` can be mixed; so many kilograms of each. */
export const makeLayerLots = async (db: Db, netKg: { readonly [ingredientId: string]: string } = {}): Promise<LayerLots> => {
  const lots: [string, BuiltLot][] = []
  for (const [ingredientId, pricePerKg, assays] of LAYER_FEED) {
    lots.push([ingredientId, await makeLot(db, { ingredientId, pricePerKg, netKg: netKg[ingredientId] ?? '5000.000', assays })])
  }
  return Object.fromEntries(lots) as LayerLots
}

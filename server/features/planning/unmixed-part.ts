import { formatKg, type Grams } from '#core/quantity/mass'
import type { Db } from '#platform/database/client'
import { loadOpenLoads, type OpenLoads } from './open-loads.js'
import type { PlannableOrder } from './plannable-order.js'

/** The kilograms to plan now, and what they may use besides free stock: the reservations of the loads they replace. */
export type Wanted = PlannableOrder & { readonly freed?: ReadonlyMap<string, Grams> }

export const asPart = (order: PlannableOrder, { ids, mass, reserved }: OpenLoads): Wanted =>
  ids.length === 0 ? order : { ...order, kg: formatKg(mass), freed: reserved }

/** What of an order can still be planned: all of it, or the loads that nobody began with what is set aside for them. */
export const unmixedPart = async (db: Db, order: PlannableOrder): Promise<Wanted> => asPart(order, await loadOpenLoads(db, order.id))

import type { Agent } from '../support/agent.js'
import { dayFromNow } from '../support/builders/days.js'
import { LotView } from '#contract/lots'
import { SupplierView } from '#contract/suppliers'

export type Delivery = {
  readonly ingredientId: string
  readonly netKg: string
  readonly pricePerKg: string
  readonly moisturePct?: number
  /** Per cent; aflatoxins in ug/kg; urea 0 for a clean strip. */
  readonly results?: { readonly [analyte: string]: number }
  readonly medication?: { readonly active: string; readonly strengthPct: number } | 'none'
}

/** What a small mill has in store to mix layer and broiler feed. Prices and values are invented, within the spread of each ingredient. */
export const DELIVERIES: readonly Delivery[] = [
  {
    ingredientId: 'maize_white',
    netKg: '3000',
    pricePerKg: '41.60',
    moisturePct: 12.8,
    results: { moisture: 12.8, CP: 8.2, aflatoxin_total: 4 },
  },
  {
    ingredientId: 'soybean_cake_expeller',
    netKg: '2000',
    pricePerKg: '95',
    results: { moisture: 9.3, CP: 43.4, EE: 6.1, urea: 0, aflatoxin_total: 2 },
  },
  {
    ingredientId: 'sunflower_cake_high_fibre',
    netKg: '1500',
    pricePerKg: '45.5',
    results: { moisture: 8.5, CP: 25.7, CF: 28, aflatoxin_total: 5 },
  },
  {
    ingredientId: 'omena_dagaa_meal',
    netKg: '600.5',
    pricePerKg: '134',
    results: { moisture: 9.9, CP: 59.6, ash: 19, AIA: 1.8, urea: 0, Na: 0.8, Cl: 1.2 },
  },
  { ingredientId: 'wheat_pollard', netKg: '1500', pricePerKg: '30.2', results: { moisture: 11.9, CP: 16.1 } },
  { ingredientId: 'maize_bran_low_fibre', netKg: '1500', pricePerKg: '27.6', results: { moisture: 11.8, CP: 10.4, aflatoxin_total: 6 } },
  { ingredientId: 'limestone', netKg: '2000', pricePerKg: '10.5' },
  { ingredientId: 'salt', netKg: '200', pricePerKg: '23' },
  { ingredientId: 'sodium_bicarbonate', netKg: '100', pricePerKg: '88' },
  { ingredientId: 'dicalcium_phosphate', netKg: '300', pricePerKg: '124' },
  { ingredientId: 'dl_methionine_99', netKg: '50', pricePerKg: '620' },
  { ingredientId: 'l_lysine_hcl_78', netKg: '50', pricePerKg: '372' },
  { ingredientId: 'vegetable_oil', netKg: '200', pricePerKg: '205' },
  { ingredientId: 'premix_generic', netKg: '100', pricePerKg: '318', medication: 'none' },
]

export const addSupplier = async (store: Agent, name: string): Promise<string> => {
  const reply = await store.post('/suppliers', { name, phone: '+254700000104', place: 'Kilele market' })
  if (reply.status !== 201) throw new Error(reply.text)
  return reply.as(SupplierView).id
}

export const receive = async (store: Agent, supplierId: string, delivery: Delivery): Promise<LotView> => {
  const { ingredientId, netKg, pricePerKg, moisturePct, medication } = delivery
  const reply = await store.post('/lots', {
    ingredientId,
    supplierId,
    receivedAt: new Date().toISOString(),
    netKg,
    pricePerKg,
    intakeMoisturePct: moisturePct ?? null,
    medicationDeclared: medication !== undefined,
    medication: medication === 'none' ? null : (medication ?? null),
  })
  if (reply.status !== 201) throw new Error(reply.text)
  return reply.as(LotView)
}

export const analyse = async (laboratory: Agent, lotId: string, results: NonNullable<Delivery['results']>): Promise<void> => {
  const reply = await laboratory.post(`/lots/${lotId}/assays`, {
    laboratory: 'Mill laboratory',
    results: Object.entries(results).map(([analyte, value]) => ({
      analyte,
      value,
      unit: analyte.startsWith('aflatoxin') ? 'ug/kg' : '%',
      belowDetection: analyte === 'urea',
      method: 'laboratory method',
      measuredOn: dayFromNow(0),
      confirmed: true,
    })),
  })
  if (reply.status !== 201) throw new Error(reply.text)
}

export const release = async (manager: Agent, lotId: string): Promise<void> => {
  const { revision } = (await manager.get(`/lots/${lotId}`)).as(LotView)
  const reply = await manager.post(`/lots/${lotId}/release`, { reason: 'Label and results read' }, { revision })
  if (reply.status !== 200) throw new Error(reply.text)
}

/** Received, analysed and released, one after the other as the lots came. */
export const stockTheStore = async (
  { store, laboratory, manager }: { readonly store: Agent; readonly laboratory: Agent; readonly manager: Agent },
  supplierId: string,
  deliveries: readonly Delivery[] = DELIVERIES,
): Promise<ReadonlyMap<string, LotView>> => {
  const lots = new Map<string, LotView>()
  for (const delivery of deliveries) {
    const lot = await receive(store, supplierId, delivery)
    if (delivery.results !== undefined) await analyse(laboratory, lot.id, delivery.results)
    await release(manager, lot.id)
    lots.set(delivery.ingredientId, lot)
  }
  return lots
}

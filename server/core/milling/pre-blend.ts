import { grams, sumGrams, type Grams } from '../quantity/mass.js'
import type { WeighableLoad, WeighedLine } from './round-load.js'
import { allowedRange, scaleFor, stepOf, type AllowedRange, type ScaleKind, type Scales } from './scales.js'

/** One weighing of the pre-blend box. A lot can stand twice: the carrier, where it is too much for the table scale alone. */
export type PreBlendRow = AllowedRange & { readonly lotId: string; readonly grams: Grams; readonly scale: ScaleKind }
export type PreBlend = { readonly grams: Grams; readonly rows: readonly PreBlendRow[]; readonly carrierGrams: Grams }

/** Items under 0.5 % of the batch go through a pre-blend of 1 to 2 % of it (PRE-01 of `seed/reference/mill_practice.csv`, textbook, from memory). */
const MICRO_SHARE = 0.005
const PRE_BLEND_LEAST = 0.01
const PRE_BLEND_MOST = 0.02
/** At least half as much carrier as micros, so that a box full of micros is still spread (common practice, no source). */
const CARRIER_PER_MICRO = 0.5

function itemsOf(load: WeighableLoad): readonly WeighedLine[] {
  const others = load.lines.filter((line) => line.lotId !== load.carrierLotId && line.role !== 'liquid')
  const micros = others.filter((line) => line.grams < MICRO_SHARE * load.load)
  // where nothing is that small but the table scale is used, its odd grams still need a carrier weighed in the same steps
  return micros.length > 0 ? micros : others.filter((line) => line.scale === 'table')
}

/** Up to 2 % of the batch as far as one weighing on the table scale goes, and such that the floor scale can weigh what is left of the carrier. */
function carrierGrams(load: WeighableLoad, items: Grams, scales: Scales): Grams {
  const held = load.lines.find((line) => line.lotId === load.carrierLotId)?.grams ?? grams(0)
  const odd = held % scales.floorStep
  const inOneWeighing = Math.min(PRE_BLEND_MOST * load.load - items, scales.tableMax - scales.floorStep)
  const least = Math.max(inOneWeighing, PRE_BLEND_LEAST * load.load - items, CARRIER_PER_MICRO * items)
  const wanted = odd + Math.ceil(Math.max(0, least - odd) / scales.floorStep) * scales.floorStep
  return grams(Math.min(wanted, held))
}

const row = (lotId: string, mass: Grams, scales: Scales, scale: ScaleKind, isDrug: boolean): PreBlendRow => ({
  lotId,
  grams: mass,
  scale,
  ...allowedRange(mass, stepOf(scales, scale), isDrug),
})

/** The carrier's weighings: whole floor steps on the floor scale first where it is too much for the table scale. */
function carrierRows(lotId: string, mass: Grams, scales: Scales): PreBlendRow[] {
  if (scaleFor(scales, mass) === 'table') return [row(lotId, mass, scales, 'table', false)]
  const odd = mass % scales.floorStep
  const table = odd === 0 ? 0 : odd + Math.max(0, Math.floor(scales.tableMax / 2 / scales.floorStep)) * scales.floorStep
  const floor = row(lotId, grams(mass - table), scales, 'floor', false)
  return table === 0 ? [floor] : [floor, row(lotId, grams(table), scales, 'table', false)]
}

/** The pre-blend of a load: carrier first, then the smallest items last. Null where a load needs none. */
export function preBlendOf(load: WeighableLoad, scales: Scales, drugLotIds: ReadonlySet<string>): PreBlend | null {
  const items = itemsOf(load)
  if (items.length === 0) return null
  const carrier = carrierGrams(load, sumGrams(items.map((item) => item.grams)), scales)
  const itemRows = [...items]
    .sort((a, b) => b.grams - a.grams)
    .map((item) => row(item.lotId, item.grams, scales, item.scale, drugLotIds.has(item.lotId)))
  const rows = [...(carrier > 0 ? carrierRows(load.carrierLotId, carrier, scales) : []), ...itemRows]
  return { grams: sumGrams(rows.map((one) => one.grams)), rows, carrierGrams: carrier }
}

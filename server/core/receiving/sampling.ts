import { kgFloat, type Grams } from '../quantity/mass.js'

export type Sampled = {
  readonly net: Grams
  /** null: it lies loose, or the bags were not counted. */
  readonly bags: number | null
  readonly category: string
}

export type SamplePlan = {
  /** Small portions, each from another place of the lot. */
  readonly increments: number
  /** Bags to open for them; null when it lies loose. */
  readonly bagsToOpen: number | null
  readonly liquid: boolean
  /** Sampled for mould poisons, which sit in few kernels: more portions. */
  readonly forMould: boolean
  /** Kilograms that the portions must make together at least (SAM-11), and the grams of each for that. */
  readonly aggregateKg: number
  readonly gramsEach: number
  /** Sealed samples made from the mixed whole: one to test, one to keep (SAM-12). */
  readonly finalSamples: number
  /** The rows of `mill_practice.csv` that say so; all from Regulation (EC) 152/2009, text read. */
  readonly rules: readonly string[]
}

/** What may carry mould poisons: plants and what is left of them. What was mined, made or rendered does not. */
const MOULD_BEARING: ReadonlySet<string> = new Set(['cereal', 'cereal_byproduct', 'root', 'oilseed', 'oilseed_meal', 'pulse', 'leaf_meal'])
/** Oils, and molasses, which is all that the reference has of the sugar by-products. */
const LIQUID: ReadonlySet<string> = new Set(['fat', 'sugar_byproduct'])
const AGGREGATE_KG = 4
const FINAL_SAMPLES = 2

type Count = { readonly count: number; readonly rule: string }

const incrementsOf = (tonnes: number, liquid: boolean): Count => {
  if (liquid) return { count: tonnes <= 2.5 ? 4 : 7, rule: 'SAM-10' }
  if (tonnes <= 2.5) return { count: 7, rule: 'SAM-01' }
  return { count: Math.min(40, Math.ceil(Math.sqrt(20 * tonnes))), rule: 'SAM-02' }
}

const bagsOf = (bags: number): Count => {
  if (bags <= 20) return { count: 1, rule: 'SAM-03' }
  if (bags <= 150) return { count: 3, rule: 'SAM-04' }
  if (bags <= 400) return { count: 5, rule: 'SAM-05' }
  return { count: Math.min(40, Math.ceil(Math.sqrt(bags) / 4)), rule: 'SAM-06' }
}

const forMould = ({ count }: Count, tonnes: number): Count =>
  tonnes >= 80 ? { count: 100, rule: 'SAM-08' } : { count: Math.ceil(2.5 * count), rule: 'SAM-07' }

/**
 * How to sample a lot so that the sample stands for it. "2.5 times the number above" (SAM-07) is taken for the bags as for the portions,
 * and never more bags than there are. Lots over 500 t (SAM-09) are beyond what one delivery can be.
 */
export const samplePlan = ({ net, bags, category }: Sampled): SamplePlan => {
  const tonnes = kgFloat(net) / 1000
  const liquid = LIQUID.has(category)
  const mould = MOULD_BEARING.has(category)
  const plain = incrementsOf(tonnes, liquid)
  const packed = bags === null ? null : bagsOf(bags)
  const increments = mould ? forMould(plain, tonnes) : plain
  const toOpen = packed && (mould ? forMould(packed, tonnes) : packed)
  return {
    increments: increments.count,
    bagsToOpen: toOpen === null || bags === null ? null : Math.min(bags, toOpen.count),
    liquid,
    forMould: mould,
    aggregateKg: AGGREGATE_KG,
    gramsEach: Math.ceil((1000 * AGGREGATE_KG) / increments.count),
    finalSamples: FINAL_SAMPLES,
    rules: [...new Set([plain.rule, ...(packed === null ? [] : [packed.rule]), ...(mould ? [increments.rule] : []), 'SAM-11', 'SAM-12'])],
  }
}

import { parseKg } from '#core/quantity/mass'
import { samplePlan, type SamplePlan } from '#core/receiving/sampling'
import type { LotRow } from './lot-view.js'

/** How to sample this lot, by its size as received. */
export const samplePlanOf = ({ netKg, bags, ingredient: { category } }: LotRow): SamplePlan & { rules: string[] } => {
  const plan = samplePlan({ net: parseKg(netKg.toFixed(3)), bags, category })
  return { ...plan, rules: [...plan.rules] }
}

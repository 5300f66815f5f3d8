import type { MixView } from '#contract/formulas'
import { explainByPrice } from '#core/formulation/explain-limit'
import type { OptimalFormulation } from '#core/formulation/formulate'
import { bindingLimits } from '#core/formulation/mix-states'
import type { FormulaProblem } from '#core/formulation/problem'
import { describeLimit, type Asked } from './describe-limit.js'
import { tidy, toldUnitOf } from './limit-units.js'

/** What each limit at its edge costs, told as one sensible step that eases it: from 16.5 to 16.4 % protein saves so much a tonne. */
export const limitCosts = (found: OptimalFormulation, problem: FormulaProblem, asked: Asked): MixView['limitCosts'] => {
  const task = { problem, x: problem.ingredients.map(({ id }) => found.amounts[id] ?? 0), massKg: asked.batchKg }
  return bindingLimits(found).flatMap(({ id, shadowPrice }) => {
    const eased = explainByPrice(task, id, shadowPrice)
    const limit = describeLimit(id, asked)
    if (eased === null || limit['kind'] === 'unknown') return []
    const unit = toldUnitOf(id, asked.batchKg)
    return [
      {
        row: id,
        limit: { ...limit },
        costPerTonneForStep: tidy(eased.savesPerTonne),
        from: tidy(eased.limit * unit),
        to: tidy(eased.easedTo * unit),
        unit: String(limit['unit'] ?? ''),
      },
    ]
  })
}

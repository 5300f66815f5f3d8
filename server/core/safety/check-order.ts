import { checkBirds, checkMedicineWithoutStage, rearingCalciumRules, stagesToKeep, type FlockFacts } from './birds.js'
import { checkLimitRule, checkLimits, type FormulaFacts } from './check-formula.js'
import type { CheckContext } from './check-lot.js'
import { worstFirst, type Finding } from './finding.js'
import { checkMedication } from './medication.js'

/**
 * A feed for a flock at its age when the feed is due: age against the feed, the feed's limits and medicine against the rules of the
 * birds' own stage. What only warns about the formula itself was said when it was approved and is not repeated here.
 */
export const checkOrder = (formula: FormulaFacts, flock: FlockFacts, context: CheckContext): Finding[] => {
  const stages = stagesToKeep(formula.stage, flock, context)
  const medication = stages.flatMap((stage) => checkMedication(formula.medication, { stage, ageWeeks: flock.ageWeeks }, context))
  const rearing = rearingCalciumRules(formula.stage, flock, context)
  const limits = stages
    .flatMap((stage) => checkLimits(formula.limits, stage, context))
    .concat(rearing.flatMap((rule) => checkLimitRule(rule, formula.limits, formula.stage)))
    .filter(({ severity, what }) => severity === 'block' || what.code === 'inside-limit')
  const unknown = checkMedicineWithoutStage(formula.medication, formula.stage, flock)
  return worstFirst([...checkBirds(formula.stage, flock, context), ...unknown, ...medication, ...limits])
}

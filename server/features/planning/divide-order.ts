import { fieldError, MillError } from '#core/errors'
import { makeLoads, type LoadsOutcome, type MadeLoad } from '#core/milling/make-loads'
import { planLoads } from '#core/milling/plan-loads'
import { formatKg, type Grams } from '#core/quantity/mass'
import type { OptimalFormulation } from '#core/formulation/formulate'
import type { SolvedMix } from '#features/formulas/solve-mix'
import { addingRole } from './adding-role.js'
import type { Mixer } from './load-mixer.js'

/** Equal loads within the mixer's capacity; an order that is too small for it is told the least it mixes well. */
export const loadsOf = (total: Grams, { maxLoad, minLoad, scales, name }: Mixer): readonly Grams[] => {
  const plan = planLoads({ total, mixerMax: maxLoad, mixerMin: minLoad, floorStep: scales.floorStep })
  if (plan.kind === 'loads') return plan.loads
  const facts = { minLoadKg: formatKg(minLoad), maxLoadKg: formatKg(maxLoad), mixer: name, orderKg: formatKg(total) }
  throw fieldError('bad-input', 'kg', plan.reason, `${name} mixes at least ${formatKg(minLoad)} kg at a time`, facts)
}

const refused = (outcome: Extract<LoadsOutcome, { kind: 'cannot' }>, { scales }: Mixer): MillError => {
  const load = outcome.loadIndex + 1
  if (outcome.reason === 'not-weighable') {
    const stepKg = formatKg(scales.tableStep)
    return fieldError('bad-input', 'kg', 'not-weighable', `a whole number of ${stepKg} kg, which is what the scale shows`, { stepKg, load })
  }
  const broken = outcome.reason === 'recheck' ? outcome.faults.map(({ kind }) => kind) : outcome.violations.map(({ id }) => id)
  return new MillError('order-infeasible', { reason: outcome.reason, load, broken })
}

/** Every load in weighable grams with its sheet, each keeping the limits by itself; refuses when one cannot. */
export const weighableLoads = (
  { lots, counted, limits }: SolvedMix,
  found: OptimalFormulation,
  { loads, mixer }: { readonly loads: readonly Grams[]; readonly mixer: Mixer },
): readonly MadeLoad[] => {
  const known = new Map(lots.map((lot) => [lot.id, lot]))
  const outcome = makeLoads({
    lots: counted.map((lot) => {
      const own = known.get(lot.id)
      return { ...lot, role: addingRole(own?.category ?? ''), isDrug: own !== undefined && own.medication !== null }
    }),
    limits,
    amounts: found.amounts,
    loads,
    scales: mixer.scales,
  })
  if (outcome.kind === 'cannot') throw refused(outcome, mixer)
  return outcome.loads
}

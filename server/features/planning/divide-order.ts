import { fieldError, MillError } from '#core/errors'
import { makeLoads, type LoadsOutcome, type MadeLoad } from '#core/milling/make-loads'
import { planLoads } from '#core/milling/plan-loads'
import { formatKg, kgFloat, sumGrams, type Grams } from '#core/quantity/mass'
import type { OptimalFormulation } from '#core/formulation/formulate'
import { mixProblem } from '#core/formulation/mix-problem'
import { withRoom } from '#core/formulation/with-room'
import type { SolvedMix } from '#features/formulas/solve-mix'
import type { SolverPool } from '#platform/deps'
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

/**
 * How far the limits are pulled in, one after the other, until the scales can show loads inside the real ones. A mix at a corner of its
 * limits may have no weighable neighbour that keeps them all; a little room costs a little money and always less than an unmade feed.
 */
const ROOM = [0, 0.0005, 0.002, 0.005, 0.01] as const

type Division = { readonly pool: SolverPool; readonly loads: readonly Grams[]; readonly mixer: Mixer }

/** Every load in weighable grams with its sheet, each keeping the limits by itself; refuses when one cannot. */
export const weighableLoads = async (
  solved: SolvedMix,
  found: OptimalFormulation,
  { pool, loads, mixer }: Division,
): Promise<readonly MadeLoad[]> => {
  const { lots, counted, limits } = solved
  const known = new Map(lots.map((lot) => [lot.id, lot]))
  const request = {
    lots: counted.map((lot) => {
      const own = known.get(lot.id)
      return { ...lot, role: addingRole(own?.category ?? ''), isDrug: own !== undefined && own.medication !== null }
    }),
    limits,
    loads,
    scales: mixer.scales,
  }
  let refusal: Extract<LoadsOutcome, { kind: 'cannot' }> | undefined
  for (const room of ROOM) {
    const mix =
      room === 0
        ? found
        : await pool.formulate(mixProblem({ batchKg: kgFloat(sumGrams(loads)), lots: counted, limits: withRoom(limits, room) }).problem)
    if (mix.status !== 'optimal') break
    const outcome = makeLoads({ ...request, amounts: mix.amounts })
    if (outcome.kind === 'made') return outcome.loads
    refusal ??= outcome
    if (outcome.reason === 'not-weighable') break
  }
  throw refusal === undefined ? new Error('no division was tried') : refused(refusal, mixer)
}

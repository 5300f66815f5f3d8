import { fieldError, MillError } from '#core/errors'
import type { LoadsOutcome, MadeLoad } from '#core/milling/make-loads'
import { planLoads } from '#core/milling/plan-loads'
import { formatKg, sumGrams, type Grams } from '#core/quantity/mass'
import { askedOf, describeLimit } from '#features/formulas/describe-limit'
import type { SolvedMix } from '#features/formulas/solve-mix'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { addingRole } from './adding-role.js'
import { bagsOfLots } from './bags-of-lots.js'
import type { Mixer } from './load-mixer.js'

/** Equal loads within the mixer's capacity; an order that is too small for it is told the least it mixes well. */
export const loadsOf = (total: Grams, { maxLoad, minLoad, scales, name }: Mixer): readonly Grams[] => {
  const plan = planLoads({ total, mixerMax: maxLoad, mixerMin: minLoad, floorStep: scales.floorStep })
  if (plan.kind === 'loads') return plan.loads
  const facts = { minLoadKg: formatKg(minLoad), maxLoadKg: formatKg(maxLoad), mixer: name, orderKg: formatKg(total) }
  throw fieldError('bad-input', 'kg', plan.reason, `${name} mixes at least ${formatKg(minLoad)} kg at a time`, facts)
}

/** Within a ten-thousandth of the cheapest: KES 2.50 of a load for KES 25,000. A program that takes longer than this ends with what it has. */
const SEARCH = { timeLimitMs: 4_000, relativeGap: 1e-4 } as const
/** For all loads of an order; past it the thread is ended. */
const DEADLINE_MS = 20_000

type Division = { readonly db: Db; readonly pool: SolverPool; readonly loads: readonly Grams[]; readonly mixer: Mixer }

const refused = (
  outcome: Extract<LoadsOutcome, { kind: 'cannot' }>,
  { lots, limits }: SolvedMix,
  { loads, mixer }: Division,
): MillError => {
  const load = outcome.loadIndex + 1
  switch (outcome.reason) {
    case 'not-weighable': {
      const stepKg = formatKg(mixer.scales.tableStep)
      return fieldError('bad-input', 'kg', 'not-weighable', `a whole number of ${stepKg} kg, which is what the scale shows`, {
        stepKg,
        load,
      })
    }
    case 'solver':
      return new MillError('solver-timeout', { reason: outcome.detail, load })
    case 'recheck':
      return new MillError('order-infeasible', { reason: outcome.reason, load, broken: outcome.faults.map(({ kind }) => kind) })
    case 'limits':
    case 'stock': {
      const asked = askedOf({ limits, lots, batchKg: formatKg(loads[outcome.loadIndex] ?? sumGrams(loads)) })
      const broken = outcome.violations.map(({ id }) => id)
      const conflict = broken.map((id) => describeLimit(id, asked))
      return new MillError('order-infeasible', { reason: outcome.reason, load, broken, conflict })
    }
    default:
      return outcome satisfies never
  }
}

/** Every load in weighable grams with its sheet, each keeping the limits by itself; refuses when one cannot, with the limits in its way. */
export const weighableLoads = async (solved: SolvedMix, division: Division): Promise<readonly MadeLoad[]> => {
  const { db, pool, loads, mixer } = division
  const known = new Map(solved.lots.map((lot) => [lot.id, lot]))
  const bags = await bagsOfLots(db, [...known.keys()])
  const lots = solved.counted.map((lot) => {
    const own = known.get(lot.id)
    const place = { role: addingRole(own?.category ?? ''), isDrug: own !== undefined && own.medication !== null }
    return { ...lot, ...place, bag: bags.get(lot.id) ?? null }
  })
  const request = { lots, limits: solved.limits, loads, scales: mixer.scales, search: SEARCH }
  const answer = await pool.run('makeLoads', request, { deadlineMs: DEADLINE_MS })
  if (answer.kind === 'failed') throw new MillError('solver-timeout', { reason: answer.reason })
  if (answer.value.kind === 'cannot') throw refused(answer.value, solved, division)
  return answer.value.loads
}

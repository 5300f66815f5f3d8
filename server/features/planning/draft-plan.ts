import type { FindingView } from '#contract/findings'
import type { MixView } from '#contract/formulas'
import { MillError } from '#core/errors'
import type { MadeLoad } from '#core/milling/make-loads'
import { parseKg, type Grams } from '#core/quantity/mass'
import { costOf, parsePricePerKg, sumCents, type Cents } from '#core/quantity/money'
import { refuseBlocks } from '#features/formulas/blocks'
import { checkAmounts } from '#features/formulas/check-mix'
import { contentHash } from '#features/formulas/content-hash'
import type { Medication } from '#features/formulas/medicated-lots'
import { leftOutFacts } from '#features/formulas/mix-view'
import { solveMix, type SolvedMix } from '#features/formulas/solve-mix'
import { limitsOfRow, medicationOfRow } from '#features/formulas/version-view'
import { checkOrderOf, flockFacts } from '#features/orders/check-order'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { sumOfLoads } from './batch-rows.js'
import { loadsOf, weighableLoads } from './divide-order.js'
import { readResultCounts, resultsOf, type KnownResults } from './known-results.js'
import { loadMixer, type Mixer } from './load-mixer.js'
import { plannableOrder } from './plannable-order.js'
import type { Wanted } from './unmixed-part.js'

export type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }

/** What is kept with the order: the answer, what it was worked out from, and by what. */
export type KeptMix = { readonly view: MixView; readonly inputHash: string; readonly solver: string; readonly solvedAt: string }
export type Draft = {
  readonly orderNumber: number
  readonly versionId: string
  /** Of the feed: lots can be released for some stages only. */
  readonly stage: string
  readonly medication: Medication | null
  readonly mixer: Mixer
  readonly loads: readonly MadeLoad[]
  readonly taken: ReadonlyMap<string, Grams>
  readonly cost: Cents
  readonly mix: KeptMix
  readonly findings: readonly FindingView[]
  readonly loadFindings: readonly (readonly FindingView[])[]
  readonly known: KnownResults
}

const requestFor = ({ kg, version, flock, eatenFrom, freed }: Wanted) => ({
  stage: version.formula.stage,
  limits: limitsOfRow(version),
  medication: medicationOfRow(version),
  flock: flockFacts(flock, eatenFrom),
  batchKg: kg,
  lots: 'released' as const,
  freed,
})

/** The mix an order would get now; nothing is kept. */
export const solveOrder = (means: Means, order: Wanted): Promise<SolvedMix> => solveMix(means, requestFor(order))

const refuseNoMix = ({ kind, conflict, leftOut, reason }: MixView): never => {
  if (kind === 'failed') throw new MillError('solver-timeout', { reason })
  throw new MillError('order-infeasible', { reason: 'conflict', conflict, leftOut: leftOutFacts(leftOut) })
}

// What the stock is worth at what was paid for it, by the grams that are really taken.
const costOfLots = (taken: ReadonlyMap<string, Grams>, { lots }: SolvedMix): Cents =>
  sumCents(lots.map((lot) => costOf(taken.get(lot.id) ?? parseKg('0.000'), parsePricePerKg(lot.pricePerKg))))

/** What a rule says of the mix stands before what it says of the formula alone. */
const together = (ofMix: readonly FindingView[], ofOrder: readonly FindingView[]): FindingView[] => {
  const said = new Set(ofMix.map(({ ruleId, appliesTo }) => `${ruleId} ${appliesTo}`))
  return [...ofMix, ...ofOrder.filter(({ ruleId, appliesTo }) => !said.has(`${ruleId} ${appliesTo}`))]
}

const kgOf = ({ lines }: MadeLoad): ReadonlyMap<string, number> => new Map(lines.map(({ lotId, grams }) => [lotId, grams / 1000]))

/** Everything of a plan that can be worked out before its transaction. Refuses with the reason when the order cannot be made. */
export const draftLoads = async (means: Means, order: Wanted, mixerId: string | null): Promise<Draft> => {
  const { db, now } = means
  const orderFindings = await checkOrderOf(db, { flock: order.flock, version: order.version, on: order.eatenFrom }, now)
  refuseBlocks(orderFindings)
  const mixer = await loadMixer(db, mixerId)
  const masses = loadsOf(parseKg(order.kg), mixer)
  const counts = await readResultCounts(db)
  const solved = await solveOrder(means, order)
  const { formulation, view } = solved
  if (formulation.status !== 'optimal') return refuseNoMix(view)
  refuseBlocks(view.findings)
  const loads = await weighableLoads(solved, { db, pool: means.pool, loads: masses, mixer })
  const loadFindings = await Promise.all(
    loads.map((load) => checkAmounts(db, requestFor(order), { lots: solved.lots, kg: kgOf(load), now })),
  )
  refuseBlocks(loadFindings.flat())
  const taken = sumOfLoads(loads)
  return {
    orderNumber: order.number,
    versionId: order.version.id,
    stage: order.version.formula.stage,
    medication: medicationOfRow(order.version),
    mixer,
    loads,
    taken,
    cost: costOfLots(taken, solved),
    mix: { view, inputHash: contentHash(solved.problem.problem), solver: formulation.solver, solvedAt: now.toISOString() },
    findings: together(view.findings, orderFindings),
    loadFindings,
    known: resultsOf(counts, taken.keys()),
  }
}

type Asked = { readonly id: string; readonly revision: number; readonly mixerId: string | null }

/** The whole of an order that waits to be planned. */
export const draftPlan = async (means: Means, { id, revision, mixerId }: Asked): Promise<Draft> => {
  const order = await plannableOrder(means.db, id, means.now)
  if (order.revision !== revision) throw new MillError('stale-revision')
  if (order.status !== 'ordered') throw new MillError('wrong-state', { status: order.status })
  return draftLoads(means, order, mixerId)
}

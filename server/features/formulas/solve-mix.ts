import type { MixView } from '#contract/formulas'
import type { FlockFacts } from '#core/safety/birds'
import { contentsForMix } from '#core/composition/contents'
import type { FormulaLimits } from '#core/formulation/limits'
import type { MixLot as CoreLot } from '#core/formulation/mix-lot'
import { mixProblem, type MixProblem } from '#core/formulation/mix-problem'
import type { Formulation } from '#core/formulation/formulate'
import { formatKg, readKg } from '#core/quantity/mass'
import { fieldError } from '#core/errors'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import { bookLots, loadMixLots, type FreedStock, type MixLot } from '#features/lots/lots-for-mix'
import type { Db } from '#platform/database/client'
import type { SolverPool } from '#platform/deps'
import { loadToday } from '#platform/mill-day'
import { checkAmounts } from './check-mix.js'
import { allowLots, medicineKey, type Medication } from './medicated-lots.js'
import { mixView, type Solved } from './mix-view.js'
import { offeredTo } from './offered-lots.js'

export type SolveRequest = {
  readonly stage: string
  readonly limits: FormulaLimits
  readonly medication: Medication | null
  /** The birds it is for, where known. */
  readonly flock?: FlockFacts | undefined
  /** Kilograms as people write them. */
  readonly batchKg: string
  readonly lots: 'released' | 'in-store' | 'book'
  /** Set aside for the very loads that this mix replaces: it may use them. */
  readonly freed?: FreedStock | undefined
}
export type SolvedMix = {
  readonly view: MixView
  readonly formulation: Formulation
  readonly problem: MixProblem
  /** The lots that could enter, as the mill knows them and as core counts them. */
  readonly lots: readonly MixLot[]
  readonly counted: readonly CoreLot[]
  /** The limits with the medicine's share in them. */
  readonly limits: FormulaLimits
}
type Means = { readonly db: Db; readonly pool: SolverPool; readonly now: Date }

const lotsOf = async ({ db, now }: Means, { lots: which, freed }: SolveRequest): Promise<readonly MixLot[]> =>
  which === 'book' ? bookLots(db) : loadMixLots(db, { which, today: await loadToday(db, now), freed })

/**
 * The cheapest mix of a mass inside limits, from the lots of now: what is free of each, what it is believed to hold, its price.
 * Everything is read before, solved in the pool outside any transaction, and told in the mill's words with the safety findings.
 */
export const solveMix = async (means: Means, request: SolveRequest): Promise<SolvedMix> => {
  const grams = readKg(request.batchKg)
  if (grams === null || grams <= 0) throw fieldError('bad-input', 'batchKg', 'out-of-range', 'more than 0 kg')
  const context = await loadCheckContext(means.db, means.now)
  const offered = offeredTo(request.stage, await lotsOf(means, request), context)
  const allowed = allowLots(offered.lots, request.limits, request.medication)
  const worst = await loadWorstCases(means.db)
  const counted = allowed.lots.map(({ id, ingredientId, pricePerKg, freeKg, composition, medication }): CoreLot => ({
    id,
    ingredientId: medication === null ? ingredientId : medicineKey(ingredientId),
    pricePerKg: Number(pricePerKg),
    freeKg: Number(freeKg),
    contents: contentsForMix(composition, worst),
  }))
  const problem = mixProblem({ batchKg: grams / 1000, lots: counted, limits: allowed.limits })
  const formulation = await means.pool.formulate(problem.problem)
  const solved: Solved = { ...offered, ...allowed, batchKg: formatKg(grams), counted, problem, formulation }
  const findings =
    formulation.status === 'optimal'
      ? await checkAmounts(means.db, request, { lots: allowed.lots, kg: new Map(Object.entries(formulation.amounts)), now: means.now })
      : []
  return { view: mixView(solved, findings), formulation, problem, lots: allowed.lots, counted, limits: allowed.limits }
}

import { contentsForMix } from '#core/composition/contents'
import { spreadsForMix } from '#core/composition/spreads'
import type { FlockFacts } from '#core/safety/birds'
import { fieldError } from '#core/errors'
import type { FormulaLimits } from '#core/formulation/limits'
import type { MixLot as CoreLot } from '#core/formulation/mix-lot'
import { mixProblem, type MixProblem } from '#core/formulation/mix-problem'
import { formatKg, readKg, type Grams } from '#core/quantity/mass'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import { bookLots, loadMixLots, type FreedStock, type MixLot } from '#features/lots/lots-for-mix'
import type { Db } from '#platform/database/client'
import { loadToday } from '#platform/mill-day'
import type { Known } from './check-mix.js'
import { allowLots, medicineKey, type Allowed, type Medication } from './medicated-lots.js'
import { readInTurn } from './reading-turns.js'
import { offeredTo, type Offered } from './offered-lots.js'

export type SolveRequest = {
  readonly stage: string
  readonly limits: FormulaLimits
  readonly medication: Medication | null
  /** The birds it is for, where known. */
  readonly flock?: FlockFacts | undefined
  /** Kilograms as people write them. */
  readonly batchKg: string
  /** `none`: only those that are given in `beside`. */
  readonly lots: 'released' | 'in-store' | 'book' | 'none'
  /** Set aside for the very loads that this mix replaces: it may use them. */
  readonly freed?: FreedStock | undefined
  /** Prices to try in place of those that decide, by ingredient. */
  readonly prices?: readonly { readonly ingredientId: string; readonly pricePerKg: string }[] | undefined
  /** Lots that are not in the store and may enter too, such as those that suppliers offer. */
  readonly beside?: readonly MixLot[] | undefined
  /** Ingredients that may not enter. */
  readonly without?: readonly string[] | undefined
}

/** A mix ready to be solved: what is offered, and the problem that core makes of it. */
export type PreparedMix = Offered &
  Allowed & {
    readonly batchKg: string
    /** The lots as core counts them. */
    readonly counted: readonly CoreLot[]
    readonly problem: MixProblem
    /** What the checks of the answer compare with. */
    readonly known: Known
  }

/** What the next kilogram of a lot costs the mill, where it knows that: a lot that was cheap is not cheap to use up (DESIGN section 5). */
export const decidingPrice = ({ replacementPricePerKg, pricePerKg }: MixLot): string => replacementPricePerKg ?? pricePerKg

type Means = { readonly db: Db; readonly now: Date }

const lotsOf = async ({ db, now }: Means, { lots: which, freed }: SolveRequest): Promise<readonly MixLot[]> => {
  if (which === 'none') return []
  return which === 'book' ? bookLots(db) : loadMixLots(db, { which, today: await loadToday(db, now), freed })
}

/** Reads everything that a mix of a mass inside limits depends on, from the lots of now, and makes the problem of it. Others may be before it. */
export const prepareMix = async (means: Means, request: SolveRequest): Promise<PreparedMix> => {
  const grams = readKg(request.batchKg)
  if (grams === null || grams <= 0) throw fieldError('bad-input', 'batchKg', 'out-of-range', 'more than 0 kg')
  return readInTurn(() => read(means, request, grams))
}

const read = async (means: Means, request: SolveRequest, grams: Grams): Promise<PreparedMix> => {
  const context = await loadCheckContext(means.db, means.now)
  const without = new Set(request.without)
  const tried = new Map(request.prices?.map(({ ingredientId, pricePerKg }) => [ingredientId, Number(pricePerKg).toFixed(4)]))
  const all = [...(await lotsOf(means, request)), ...(request.beside ?? [])]
  const inStore = all.filter(({ ingredientId }) => !without.has(ingredientId))
  const offered = offeredTo(request.stage, inStore, context)
  const allowed = allowLots(offered.lots, request.limits, request.medication)
  const worst = await loadWorstCases(means.db)
  const lots = allowed.lots.map((lot) => ({ ...lot, replacementPricePerKg: tried.get(lot.ingredientId) ?? lot.replacementPricePerKg }))
  const counted = lots.map((lot): CoreLot => ({
    id: lot.id,
    ingredientId: lot.medication === null ? lot.ingredientId : medicineKey(lot.ingredientId),
    pricePerKg: Number(decidingPrice(lot)),
    freeKg: Number(lot.freeKg),
    contents: contentsForMix(lot.composition, worst),
    spreads: spreadsForMix(lot.composition),
  }))
  const problem = mixProblem({ batchKg: grams / 1000, lots: counted, limits: allowed.limits })
  return { ...offered, ...allowed, lots, batchKg: formatKg(grams), counted, problem, known: { context, worst } }
}

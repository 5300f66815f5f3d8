import type { FindingView } from '#contract/findings'
import { contentsForMix } from '#core/composition/contents'
import { loadChecker } from '#core/milling/check-load'
import { grams, kgFloat, parseKg, type Grams } from '#core/quantity/mass'
import { checkMix } from '#core/safety/check-mix'
import { worstFirst } from '#core/safety/finding'
import { limitsOfRow, medicationOfRow } from '#features/formulas/version-view'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import { loadMixLotsById, type MixLot } from '#features/lots/lots-for-mix'
import { eatenFrom, flockFacts } from '#features/orders/check-order'
import type { Db, Tx } from '#platform/database/client'
import { plainDate } from '#platform/mill-day'

/** What is wrong with a load as it was really weighed: limits that it breaks, and what the safety checks block. */
export type Judgement = { readonly brokenLimits: readonly string[]; readonly findings: readonly FindingView[] }
export type WeighedLots = ReadonlyMap<string, Grams>
export type Judge = (weighed: WeighedLots) => Judgement

/**
 * A limit counts as broken by the weights when it is missed by more than 2 % of itself: a mix at least cost lies on its limits, and
 * weights inside their ranges (up to 1 %, WGH-05 of the mill practice table) move it a little to either side. Common practice, no source.
 */
const LIMIT_MISSED_BY = 0.02
const UNLIMITED_KG = 1e9

const factsOf = (lot: MixLot) => ({ ...lot, name: String(lot.number) })

/** Reads what a load is judged by, before its transaction; the judge itself computes only. */
export const loadJudge = async (db: Db | Tx, batchId: string, now: Date): Promise<Judge> => {
  const batch = await db.batch.findUnique({
    where: { id: batchId },
    include: { lines: true, mixer: true, order: { include: { flock: true, formulaVersion: { include: { formula: true } } } } },
  })
  if (batch === null) return () => ({ brokenLimits: [], findings: [] })
  const version = batch.order.formulaVersion
  const lotIds = [...new Set(batch.lines.flatMap(({ lotId }) => (lotId === null ? [] : [lotId])))]
  // One after the other: this runs inside a transaction, which has one connection.
  const lots = await loadMixLotsById(db, lotIds)
  const worst = await loadWorstCases(db)
  const context = await loadCheckContext(db, now)
  const flock = flockFacts(batch.order.flock, eatenFrom(plainDate(batch.order.dueOn), context.on))
  const medicine = medicationOfRow(version)
  const limits = limitsOfRow(version)
  const check = loadChecker(
    lots.map((lot) => ({
      id: lot.id,
      ingredientId: lot.ingredientId,
      pricePerKg: Number(lot.pricePerKg),
      freeKg: UNLIMITED_KG,
      contents: contentsForMix(lot.composition, worst),
    })),
    // The medicine's share follows from the strength of its lot; its dose is checked by itself below.
    // Certainty was asked of the plan: weights say nothing new of what the lots may hold, so limits are judged at the mean.
    {
      ...limits,
      nutrients: limits.nutrients.map(({ nutrient, min, max }) => ({ nutrient, min, max })),
      ingredients: limits.ingredients.filter(({ ingredientId }) => ingredientId !== medicine?.ingredientId),
    },
    {
      floorStep: grams(batch.mixer.floorScaleStepG),
      tableStep: grams(batch.mixer.tableScaleStepG),
      tableMax: parseKg(batch.mixer.tableScaleMaxKg.toFixed(3)),
    },
  )
  return (weighed) => {
    const mix = lots.map((lot) => ({ lot: factsOf(lot), kg: kgFloat(weighed.get(lot.id) ?? grams(0)) }))
    const medication = medicine === null ? [] : [medicine]
    return {
      brokenLimits: check(weighed).flatMap(({ id, by }) => (by > LIMIT_MISSED_BY ? [id] : [])),
      findings: worstFirst(checkMix({ stage: version.formula.stage, medication, mix, flock }, { ...context, worst })),
    }
  }
}

import type { FindingView } from '#contract/findings'
import { contentsForMix } from '#core/composition/contents'
import { loadChecker } from '#core/milling/check-load'
import { grams, kgFloat, parseKg, type Grams } from '#core/quantity/mass'
import type { CheckContext } from '#core/safety/check-lot'
import { checkMix } from '#core/safety/check-mix'
import { worstFirst } from '#core/safety/finding'
import { limitsOfRow, medicationOfRow } from '#features/formulas/version-view'
import { loadWorstCases } from '#features/ingredients/book'
import { loadCheckContext } from '#features/lots/lot-safety'
import { loadMixLotsById, type MixLot } from '#features/lots/lots-for-mix'
import { eatenFrom, flockFacts } from '#features/orders/check-order'
import type { Db, Prisma, Tx } from '#platform/database/client'
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

const whole = {
  lines: { select: { lotId: true } },
  mixer: true,
  order: { include: { flock: true, formulaVersion: { include: { formula: true } } } },
} as const satisfies Prisma.BatchInclude
type Row = Prisma.BatchGetPayload<{ include: typeof whole }>
type Known = { readonly context: CheckContext; readonly worst: Awaited<ReturnType<typeof loadWorstCases>> }
type JudgedLot = { readonly lot: MixLot; readonly forMix: Parameters<typeof loadChecker>[0][number] }

const lotIdsOf = ({ lines }: Row): string[] => [...new Set(lines.flatMap(({ lotId }) => (lotId === null ? [] : [lotId])))]

const judgeOf = ({ order, mixer }: Row, judged: readonly JudgedLot[], { context, worst }: Known): Judge => {
  const version = order.formulaVersion
  const flock = flockFacts(order.flock, eatenFrom(plainDate(order.dueOn), context.on))
  const medicine = medicationOfRow(version)
  const limits = limitsOfRow(version)
  const check = loadChecker(
    judged.map(({ forMix }) => forMix),
    // The medicine's share follows from the strength of its lot; its dose is checked by itself below.
    // Certainty was asked of the plan: weights say nothing new of what the lots may hold, so limits are judged at the mean.
    {
      ...limits,
      nutrients: limits.nutrients.map(({ nutrient, min, max }) => ({ nutrient, min, max })),
      ingredients: limits.ingredients.filter(({ ingredientId }) => ingredientId !== medicine?.ingredientId),
    },
    {
      floorStep: grams(mixer.floorScaleStepG),
      tableStep: grams(mixer.tableScaleStepG),
      tableMax: parseKg(mixer.tableScaleMaxKg.toFixed(3)),
    },
  )
  return (weighed) => {
    const mix = judged.map(({ lot }) => ({ lot: factsOf(lot), kg: kgFloat(weighed.get(lot.id) ?? grams(0)) }))
    const medication = medicine === null ? [] : [medicine]
    return {
      brokenLimits: check(weighed).flatMap(({ id, by }) => (by > LIMIT_MISSED_BY ? [id] : [])),
      findings: worstFirst(checkMix({ stage: version.formula.stage, medication, mix, flock }, { ...context, worst })),
    }
  }
}

/**
 * Reads what loads are judged by, in as many queries for hundreds of loads as for one: a result that comes late asks for every load that
 * holds its lot, inside its transaction. The judges themselves compute only.
 */
export const loadJudges = async (db: Db | Tx, batchIds: readonly string[], now: Date): Promise<ReadonlyMap<string, Judge>> => {
  const batches = await db.batch.findMany({ where: { id: { in: [...batchIds] } }, include: whole })
  // One after the other: this runs inside a transaction, which has one connection.
  const lots = await loadMixLotsById(db, [...new Set(batches.flatMap(lotIdsOf))])
  const worst = await loadWorstCases(db)
  const known = { context: await loadCheckContext(db, now), worst }
  const judged = lots.map((lot) => ({
    lot,
    forMix: {
      id: lot.id,
      ingredientId: lot.ingredientId,
      pricePerKg: Number(lot.pricePerKg),
      freeKg: UNLIMITED_KG,
      contents: contentsForMix(lot.composition, worst),
    },
  }))
  return new Map(
    batches.map((batch) => {
      const own = new Set(lotIdsOf(batch))
      const ofBatch = judged.filter(({ lot }) => own.has(lot.id))
      return [batch.id, judgeOf(batch, ofBatch, known)]
    }),
  )
}

const NOTHING_WRONG: Judgement = { brokenLimits: [], findings: [] }

/** Reads what a load is judged by, before its transaction. */
export const loadJudge = async (db: Db | Tx, batchId: string, now: Date): Promise<Judge> =>
  (await loadJudges(db, [batchId], now)).get(batchId) ?? (() => NOTHING_WRONG)

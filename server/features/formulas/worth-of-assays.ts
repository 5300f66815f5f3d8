import type { z } from 'zod'
import type { AssayWorthView } from '#contract/solving'
import { ANALYTES, ANALYTE_IDS, type AnalyteId } from '#core/composition/analytes'
import { assayErrorOf, samplingSd, type AssayErrorRow } from '#core/composition/assay-error'
import { AMINO_ACIDS } from '#core/composition/follow'
import type { LotComposition } from '#core/composition/compose-lot'
import { NUTRIENTS, type NutrientId } from '#core/composition/nutrients'
import { totalSd } from '#core/composition/spread'
import type { AssayTest } from '#core/formulation/assay-belief'
import { loadAssayErrors } from '#features/lots/load-beliefs'
import type { MixLot } from '#features/lots/lots-for-mix'
import { lotFacts } from './mix-view.js'
import { prepareMix, type SolveRequest } from './prepare-mix.js'
import type { Means } from './solve-mix.js'

/** How many tests are worked out by solves; each takes eleven. */
const EVALUATED = 8
const DEADLINE_MS = 10_000

/** The method that a feed laboratory uses for what can be tested. */
const METHOD = 'chemical'

/** What follows a test: amino acids follow protein in proportion. */
const movesOf = (analyte: AnalyteId, { values }: LotComposition): { readonly [nutrient: string]: number } => {
  const protein = values.CP.value
  if (analyte !== 'CP' || protein === null || protein <= 0) return {}
  return Object.fromEntries(AMINO_ACIDS.flatMap((id) => (values[id].value === null ? [] : [[id, (values[id].value ?? 0) / protein]])))
}

const testsOf = (lots: readonly MixLot[], asked: ReadonlySet<NutrientId>, errors: readonly AssayErrorRow[]): AssayTest[] =>
  lots.flatMap((lot) =>
    ANALYTE_IDS.flatMap((analyte): AssayTest[] => {
      const { nutrient } = ANALYTES[analyte]
      if (nutrient === null || analyte === 'moisture') return []
      const content = lot.composition.values[nutrient]
      const error = content.value === null ? undefined : assayErrorOf(errors, analyte, content.value, METHOD)
      if (content.value === null || content.spread === undefined || error === undefined) return []
      const moves = movesOf(analyte, lot.composition)
      if (!asked.has(nutrient) && !Object.keys(moves).some((id) => asked.has(id as NutrientId))) return []
      return [{ ingredient: lot.id, nutrient, assaySd: Math.hypot(error.repeatabilitySd, samplingSd(totalSd(content.spread))), moves }]
    }),
  )

/**
 * What one more laboratory result of a lot in the mix would be worth for the batch, the best first. Only where a limit asks for certainty is
 * there anything to learn: at the mean the mix is the same whatever the spread.
 */
export const worthOfAssays = async (means: Means, request: SolveRequest): Promise<z.output<typeof AssayWorthView>> => {
  const prepared = await prepareMix(means, request)
  const asked = new Set(request.limits.nutrients.filter(({ certainty = 0.5 }) => certainty > 0.5).map(({ nutrient }) => nutrient))
  if (asked.size === 0) return { reason: 'no-certainty', tests: [] }
  const tests = testsOf(prepared.lots, asked, await loadAssayErrors(means.db))
  const { problem } = prepared.problem
  const answer = await means.pool.run('assayWorth', { problem, tests, evaluate: EVALUATED }, { deadlineMs: DEADLINE_MS })
  if (answer.kind === 'failed') return { reason: answer.reason, tests: [] }
  if (answer.value.kind === 'no-mix') return { reason: 'no-mix', tests: [] }
  const known = new Map(prepared.lots.map((lot) => [lot.id, lot]))
  return {
    reason: null,
    tests: answer.value.tests.flatMap(({ ingredient, nutrient, worth, noMixChance }) => {
      const lot = known.get(ingredient)
      const id = nutrient as NutrientId
      const content = lot?.composition.values[id]
      const spread = content === undefined || content.value === null ? undefined : content.spread
      if (lot === undefined || spread === undefined || worth === null || worth === 0) return []
      return [
        {
          ...lotFacts(lot),
          nutrient,
          unit: NUTRIENTS[id].unit,
          sdNow: totalSd(spread),
          worth,
          worthPerTonne: (worth / Number(prepared.batchKg)) * 1000,
          noMixPct: 100 * noMixChance,
        },
      ]
    }),
  }
}

import type { LotDetailView } from '#contract/lots'
import type { z } from 'zod'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { Db, Tx } from '#platform/database/client'
import { loadKnowledge, type Knowledge } from './load-beliefs.js'
import { assaysOf, type LotRow } from './lot-view.js'

const compositionOf = (row: LotRow, knowledge: Knowledge | undefined): LotComposition =>
  composeLot({
    ingredientKey: row.ingredientId,
    category: row.ingredient.category,
    book: knowledge?.book?.book ?? [],
    assays: assaysOf(row),
    intakeMoisturePct: row.intakeMoisturePct,
    assayErrors: knowledge?.assayErrors,
    supplierRecord: knowledge?.supplierRecord,
  })

/** What is believed of these lots now: book, supplier's record and the results that still stand. */
export const loadCompositions = async (db: Db | Tx, rows: readonly LotRow[]): Promise<LotComposition[]> => {
  const knowledge = await loadKnowledge(db, rows)
  return rows.map((row) => compositionOf(row, knowledge.get(row.id)))
}

export const loadComposition = async (db: Db | Tx, row: LotRow): Promise<LotComposition> =>
  compositionOf(row, (await loadKnowledge(db, [row])).get(row.id))

/** Every nutrient with the steps it came by; what nobody knows stays in the list as unknown. */
export const compositionView = ({ values }: LotComposition): z.output<typeof LotDetailView>['composition'] =>
  NUTRIENT_IDS.map((nutrient) => {
    const { value, knownBy, bookValue, from, ...rest } = values[nutrient]
    return {
      nutrient,
      unit: NUTRIENTS[nutrient].unit,
      value,
      sd: ('sd' in rest ? rest.sd : undefined) ?? null,
      knownBy,
      bookValue: bookValue ?? null,
      steps: from.map(({ code, facts }) => ({ code, facts: { ...facts } })),
    }
  })

/** Tested mould poisons with what the lot may hold at most: a sample misses the few kernels that carry them. */
export const poisonsView = ({ contaminants }: LotComposition): z.output<typeof LotDetailView>['poisons'] =>
  (['aflatoxin_B1', 'aflatoxin_total'] as const).flatMap((analyte) => {
    const found = contaminants[analyte]
    if (found?.upperBound === undefined) return []
    const { value, unit, knownBy, upperBound, results } = found
    return [{ analyte, value, unit, belowDetection: knownBy === 'below-detection', upperBound, results }]
  })

import type { LotDetailView } from '#contract/lots'
import type { z } from 'zod'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { Db, Tx } from '#platform/database/client'
import { loadKnowledge, type Knowledge } from './load-beliefs.js'
import { assaysOf, type LotRow } from './lot-view.js'

type Composed = { readonly of: string; readonly knowledge: Knowledge | undefined; readonly composition: LotComposition }

/** Lots whose composition is kept: a mill has a few dozen in store; at some 40 kB a lot this is 80 MB at most. */
const MOST_KEPT = 2000
const kept = new Map<string, Composed>()

const keep = (lotId: string, composed: Composed): LotComposition => {
  kept.delete(lotId)
  kept.set(lotId, composed)
  const [oldest] = kept.keys()
  if (kept.size > MOST_KEPT && oldest !== undefined) kept.delete(oldest)
  return composed.composition
}

/** Composed again only when something that it is made of is different: a mix asks for the same lots with every limit that is changed. */
const compositionOf = (row: LotRow, knowledge: Knowledge | undefined): LotComposition => {
  const { id, ingredientId: ingredientKey, intakeMoisturePct } = row
  const { category } = row.ingredient
  const own = { ingredientKey, category, assays: assaysOf(row), intakeMoisturePct, supplierRecord: knowledge?.supplierRecord }
  const of = JSON.stringify(own)
  const before = kept.get(id)
  if (before?.of === of && before.knowledge?.book === knowledge?.book && before.knowledge?.assayErrors === knowledge?.assayErrors)
    return before.composition
  const composition = composeLot({ ...own, book: knowledge?.book?.book ?? [], assayErrors: knowledge?.assayErrors })
  return keep(id, { of, knowledge, composition })
}

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

import type { LotDetailView } from '#contract/lots'
import type { z } from 'zod'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import type { HeapPart } from '#core/composition/derived-heap'
import { composeDerived } from '#core/composition/derived-lot'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { Db, Tx } from '#platform/database/client'
import { loadOrigins, madeOf, type Made } from './derive-origins.js'
import { loadKnowledge, type Knowledge } from './load-beliefs.js'
import { assaysOf, type LotRow } from './lot-view.js'

type Composed = {
  readonly of: string
  readonly knowledge: Knowledge | undefined
  readonly parts: readonly HeapPart[]
  readonly composition: LotComposition
}

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

const sameParts = (before: readonly HeapPart[], now: readonly HeapPart[]): boolean =>
  before.length === now.length && before.every(({ kg, composition }, i) => kg === now[i]?.kg && composition === now[i]?.composition)

/** Composed again only when something that it is made of is different: a mix asks for the same lots with every limit that is changed. */
const compositionOf = (row: LotRow, knowledge: Knowledge | undefined, made?: Made): LotComposition => {
  const { id, ingredientId: ingredientKey, intakeMoisturePct } = row
  const { category } = row.ingredient
  const own = { ingredientKey, category, assays: assaysOf(row), intakeMoisturePct, supplierRecord: knowledge?.supplierRecord }
  const of = JSON.stringify([own, made?.drying])
  const parts = made?.parts ?? []
  const before = kept.get(id)
  const sameKnowledge = before?.knowledge?.book === knowledge?.book && before?.knowledge?.assayErrors === knowledge?.assayErrors
  if (before?.of === of && sameKnowledge && sameParts(before.parts, parts)) return before.composition
  const { supplierRecord: _mill, intakeMoisturePct: _meter, ...input } = own
  const known = { book: knowledge?.book?.book ?? [], assayErrors: knowledge?.assayErrors }
  const composition = made ? composeDerived({ ...input, ...known, ...made }) : composeLot({ ...own, ...known })
  return keep(id, { of, knowledge, parts, composition })
}

/** What is believed of these lots now: book, supplier's record and the results that still stand; of made lots what their parents are. */
export const loadCompositions = async (db: Db | Tx, rows: readonly LotRow[]): Promise<LotComposition[]> => {
  const origins = await loadOrigins(db, rows)
  const all = [...rows, ...origins.ancestors.values()]
  const knowledge = await loadKnowledge(db, all)
  const composed = new Map<string, LotComposition>()
  const compose = (row: LotRow): LotComposition => {
    const known = composed.get(row.id) ?? compositionOf(row, knowledge.get(row.id), madeOf(origins, row, compose))
    composed.set(row.id, known)
    return known
  }
  return rows.map(compose)
}

export const loadComposition = async (db: Db | Tx, row: LotRow): Promise<LotComposition> => {
  const [composition] = await loadCompositions(db, [row])
  if (composition === undefined) throw new Error('a lot without a composition')
  return composition
}

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

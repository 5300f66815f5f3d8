import type { LotDetailView } from '#contract/lots'
import type { z } from 'zod'
import type { BookIngredient } from '#core/composition/book'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import { assaysOf, type LotRow } from './lot-view.js'

/** What is believed of a lot now: its book, rescaled and replaced by the results that still stand. */
export const compositionOf = (row: LotRow, book: BookIngredient | undefined): LotComposition =>
  composeLot({
    ingredientKey: row.ingredientId,
    category: row.ingredient.category,
    book: book?.book ?? [],
    assays: assaysOf(row),
    intakeMoisturePct: row.intakeMoisturePct,
  })

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

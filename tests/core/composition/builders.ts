import type { Assay } from '#core/composition/assays'
import { composeLot, type LotComposition } from '#core/composition/compose-lot'
import type { KnownValue } from '#core/composition/lot-value'
import type { NutrientId } from '#core/composition/nutrients'
import type { SupplierRecord } from '#core/composition/supplier-record'
import { readAssayErrors, readIngredients, type ReferenceIngredient } from '#seed/reference-tables'

export const INGREDIENTS = readIngredients()
export const ASSAY_ERRORS = readAssayErrors()

export const ingredient = (key: string): ReferenceIngredient => {
  const found = INGREDIENTS.find((candidate) => candidate.key === key)
  if (!found) throw new Error(`no ingredient ${key}`)
  return found
}

export const anAssay = (analyte: string, value: number, more: Partial<Assay> = {}): Assay => ({
  analyte,
  value,
  unit: analyte.startsWith('aflatoxin') ? 'ug/kg' : '%',
  belowDetection: false,
  sd: null,
  method: 'Kjeldahl',
  laboratory: 'Ridge Laboratory',
  measuredOn: '2026-08-02',
  ...more,
})

/** A lot whose results count as exact, because no table of errors is given: for the arithmetic of what follows. */
export const aLot = (key: string, assays: readonly Assay[] = [], intakeMoisturePct: number | null = null): LotComposition => {
  const { category, book } = ingredient(key)
  return composeLot({ ingredientKey: key, category, book, assays, intakeMoisturePct })
}

type More = { readonly supplierRecord?: SupplierRecord; readonly intakeMoisturePct?: number }

/** A lot as the mill believes it: every result with its published error. */
export const aBelievedLot = (key: string, assays: readonly Assay[] = [], more: More = {}): LotComposition => {
  const { category, book } = ingredient(key)
  return composeLot({ ingredientKey: key, category, book, assays, assayErrors: ASSAY_ERRORS, ...more })
}

export const known = (lot: LotComposition, nutrient: NutrientId): KnownValue => {
  const value = lot.values[nutrient]
  if (value.value === null) throw new Error(`${nutrient} of ${lot.ingredientKey} is unknown`)
  return value
}

export const codes = (lot: LotComposition, nutrient: NutrientId): string[] => lot.values[nutrient].from.map((step) => step.code)

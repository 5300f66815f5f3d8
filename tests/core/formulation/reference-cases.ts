import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { FormulaProblem } from '#core/formulation/problem'

const CASES = fileURLToPath(new URL('../../../seed/reference/cases/', import.meta.url))

type PriceEnd = { readonly price: number; readonly amount: number; readonly objective: number }
export type Expected = {
  readonly status: 'optimal' | 'infeasible'
  readonly objective: number
  readonly amounts: Readonly<Record<string, number>>
  readonly amountsUnique?: boolean
  readonly amountRangesOverOptima?: Readonly<Record<string, readonly [least: number, most: number]>>
  readonly binding: readonly string[]
  readonly usedFlags?: Readonly<Record<string, 0 | 1>>
  readonly shadowPrices?: Readonly<Record<string, number>>
  readonly reducedCosts?: Readonly<Record<string, number>>
  readonly dualsAgreeBetweenSolvers?: boolean
  readonly oneSidedShadowPrices?: Readonly<Record<string, Readonly<Record<'decrease' | 'increase', number | string>>>>
  readonly minimalConflictSets?: readonly (readonly string[])[]
  readonly atLow?: PriceEnd
  readonly atHigh?: PriceEnd
  readonly breakPoints?: readonly { readonly price: number; readonly amountBelow: number; readonly amountAbove: number }[]
}
export type Tolerance = {
  readonly objectiveRelative: number
  readonly amountsRelative?: number
  readonly amountsAbsolute?: number
  readonly shadowPricesRelative?: number
  readonly priceRelative?: number
  readonly amountRelative?: number
}
export type Published = {
  readonly objective?: number
  readonly objectiveTolerance?: number
  readonly amounts?: Readonly<Record<string, number>>
}
export type ReferenceCase = {
  readonly id: string
  readonly kind: string
  readonly problem: FormulaProblem
  readonly expected: Expected
  readonly published?: Published
  readonly tolerance?: Tolerance
}

/** The published and constructed check cases, as `seed/reference/README.md` describes them. */
export const referenceCases: readonly ReferenceCase[] = readdirSync(CASES)
  .filter((name) => name.endsWith('.json'))
  .sort()
  .map((name) => JSON.parse(readFileSync(CASES + name, 'utf8')) as ReferenceCase)

export const readCase = <T>(id: string): T => JSON.parse(readFileSync(`${CASES}${id}.json`, 'utf8')) as T
export const casePath = (id: string): string => `${CASES}${id}.json`

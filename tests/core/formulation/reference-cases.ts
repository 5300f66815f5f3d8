import { readdirSync, readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import type { FormulaProblem } from '#core/formulation/problem'

const CASES = fileURLToPath(new URL('../../../seed/reference/cases/', import.meta.url))

export type Expected = {
  readonly status: 'optimal' | 'infeasible'
  readonly objective: number
  readonly amounts: Readonly<Record<string, number>>
  readonly amountsUnique?: boolean
  readonly binding: readonly string[]
  readonly shadowPrices?: Readonly<Record<string, number>>
  readonly reducedCosts?: Readonly<Record<string, number>>
  readonly dualsAgreeBetweenSolvers?: boolean
  readonly oneSidedShadowPrices?: Readonly<Record<string, Readonly<Record<'decrease' | 'increase', number | string>>>>
}
export type ReferenceCase = {
  readonly id: string
  readonly kind: string
  readonly problem: FormulaProblem
  readonly expected: Expected
  readonly tolerance?: { readonly objectiveRelative: number; readonly amountsRelative: number; readonly shadowPricesRelative: number }
}

/** The published and constructed check cases, as `seed/reference/README.md` describes them. */
export const referenceCases: readonly ReferenceCase[] = readdirSync(CASES)
  .filter((name) => name.endsWith('.json'))
  .sort()
  .map((name) => JSON.parse(readFileSync(CASES + name, 'utf8')) as ReferenceCase)

export const readCase = <T>(id: string): T => JSON.parse(readFileSync(`${CASES}${id}.json`, 'utf8')) as T
export const casePath = (id: string): string => `${CASES}${id}.json`

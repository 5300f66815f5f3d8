import { kgAfterDrying } from '../milling/dry-matter.js'
import { gramsFromFloatKg, kgFloat, type Grams } from '../quantity/mass.js'
import type { PricePerKg } from '../quantity/money.js'

export const MAKING_KINDS = ['grinding', 'drying', 'bin'] as const
export type MakingKind = (typeof MAKING_KINDS)[number]
export const LOSS_KINDS = ['dust', 'moisture', 'not-explained'] as const
export type LossKind = (typeof LOSS_KINDS)[number]

/**
 * What drying may lose beside its water without anybody asking: under 1 % is reasonable handling loss, of 0.22 to 1.71 % found (Iowa State
 * University, as told by D. Karki, South Dakota extension agronomist, "Corn grain moisture shrinkage", 2019-10-25, read as an excerpt).
 */
export const REASONABLE_LOSS_PCT = 1

export type Moistures = { readonly beforePct: number; readonly afterPct: number }

/** The kilograms that should be left: what went in, less the water that drying took by the dry-matter balance. To the gram. */
export const expectedOf = (taken: Grams, moistures: Moistures | null): Grams =>
  moistures === null ? taken : gramsFromFloatKg(kgAfterDrying(kgFloat(taken), moistures.beforePct, moistures.afterPct))

/** Whether what came out lies further from what was expected than handling explains, either way. */
export const differsTooMuch = (got: Grams, expected: Grams): boolean => Math.abs(got - expected) * 100 > expected * REASONABLE_LOSS_PCT

type Paid = { readonly mass: Grams; readonly pricePerKg: PricePerKg }

/** What a kilogram of what is left cost: all that was paid for what went in, so that the loss is borne by what is left. Halves up. */
export const carriedPrice = (parts: readonly Paid[], got: Grams): PricePerKg => {
  const paid = parts.reduce((sum, { mass, pricePerKg }) => sum + BigInt(mass) * BigInt(pricePerKg), 0n)
  return Number((paid * 2n + BigInt(got)) / (BigInt(got) * 2n)) as PricePerKg
}

export type Terms = {
  readonly expiresOn: string | null
  readonly retestOn: string | null
  readonly releasedFor: readonly string[]
  readonly medicationDeclared: boolean
}

const earliest = (days: readonly (string | null)[]): string | null => days.filter((day) => day !== null).toSorted()[0] ?? null

/** Stages whose feed all of them may enter; empty: every feed. Null: there is no such feed. */
const commonStages = (lots: readonly Terms[]): readonly string[] | null => {
  const limited = lots.map(({ releasedFor }) => releasedFor).filter((stages) => stages.length > 0)
  const [first, ...others] = limited
  if (first === undefined) return []
  const common = first.filter((stage) => others.every((stages) => stages.includes(stage)))
  return common.length === 0 ? null : common
}

/** The terms of several lots together, the strictest of each. Null where no feed may take them all. */
export const strictestTerms = (lots: readonly Terms[]): Terms | null => {
  const releasedFor = commonStages(lots)
  return releasedFor === null
    ? null
    : {
        expiresOn: earliest(lots.map(({ expiresOn }) => expiresOn)),
        retestOn: earliest(lots.map(({ retestOn }) => retestOn)),
        releasedFor,
        medicationDeclared: lots.every(({ medicationDeclared }) => medicationDeclared),
      }
}

import type { CertainLimit, CertaintyReport, OptimalFormulation } from './formulation.js'
import { missOf, type CertainRow } from './certainty-rows.js'
import type { NamedRow } from './program.js'

/** A limit counts as met with equality as every other does: relative to the sizes involved. */
const AT_LIMIT = 1e-7
/** Duals below this share of the dearest cost (per unit of the row's largest coefficient) are noise. */
const ZERO_DUAL = 1e-9

/** A row of the last relaxation with its dual. */
export type PricedRow = { readonly row: NamedRow; readonly dual: number }

const sum = (numbers: readonly number[]): number => numbers.reduce((total, number) => total + number, 0)

/**
 * The price of one side: all rows of a limit, base and cuts, move with its value together, so their duals add. With cost to be minimised a
 * minimum's duals are never below zero and a maximum's never above.
 */
function priceOf({ id, side }: CertainRow, priced: readonly PricedRow[], dearest: number): number {
  const own = priced.filter(({ row, dual }) => row.id === id && (side === 'min' ? dual > 0 : dual < 0))
  const heard = own.filter(({ row, dual }) => Math.abs(dual) * Math.max(0, ...row.dense.map(Math.abs)) > ZERO_DUAL * dearest)
  return sum(heard.map(({ dual }) => dual))
}

function limitOf(row: CertainRow, amounts: readonly number[], shadowPrice: number): CertainLimit {
  const { by, sd } = missOf(row, amounts)
  const { nutrient, side, z } = row
  const per = nutrient.basis === 'total' ? 1 : sum(amounts)
  const limit = (side === 'min' ? nutrient.min : nutrient.max) ?? Number.NaN
  const spare = (z * sd - by) / per
  return {
    id: row.id,
    nutrient: nutrient.id,
    side,
    limit,
    mean: side === 'min' ? limit + spare : limit - spare,
    sd: sd / per,
    zAsked: z,
    zReached: sd > 0 ? (z * sd - by) / sd : null,
    shadowPrice,
  }
}

type Solved = {
  readonly amounts: readonly number[]
  readonly priced: readonly PricedRow[]
  readonly lowerBound: number
  readonly rounds: number
}

/** What was asked and reached of each certain limit. */
export function certaintyReport(
  certain: readonly CertainRow[],
  { amounts, priced, lowerBound, rounds }: Solved,
  dearest: number,
): CertaintyReport {
  const misses = certain.map((row) => missOf(row, amounts)).map(({ by, size }) => by / Math.max(size, 1e-9))
  return {
    limits: certain.map((row) => limitOf(row, amounts, priceOf(row, priced, dearest))),
    lowerBound,
    violation: Math.max(0, ...misses),
    rounds,
  }
}

/** An answer told by limits alone: cuts are no limits that anybody set. */
export function withCertainty(
  answer: OptimalFormulation,
  certain: readonly CertainRow[],
  certainty: CertaintyReport,
  amounts: readonly number[],
): OptimalFormulation {
  const ids = new Set(certain.map((row) => row.id))
  const met = certain.filter((row) => {
    const { by, size } = missOf(row, amounts)
    return Math.abs(by) <= AT_LIMIT * Math.max(size, 1e-9)
  })
  const prices = new Map<string, number>(Object.entries(answer.shadowPrices).filter(([id]) => !ids.has(id)))
  for (const { id, shadowPrice } of certainty.limits) if (shadowPrice !== 0) prices.set(id, (prices.get(id) ?? 0) + shadowPrice)
  return {
    ...answer,
    binding: [...new Set([...answer.binding.filter((id) => !ids.has(id)), ...met.map((row) => row.id)])],
    shadowPrices: Object.fromEntries(prices),
    certainty,
  }
}

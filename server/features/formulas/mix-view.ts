import type { FindingView } from '#contract/findings'
import type { MixView } from '#contract/formulas'
import type { Formulation, OptimalFormulation } from '#core/formulation/formulate'
import { formatKg, grams as toGrams, gramsFromFloatKg, parseKg, type Grams } from '#core/quantity/mass'
import { cents, costOf, formatMoney, formatPricePerKg, parsePricePerKg, sumCents, type Cents, type PricePerKg } from '#core/quantity/money'
import type { MixLot } from '#features/lots/lots-for-mix'
import { askedOf, describeLimit } from './describe-limit.js'
import { limitCosts } from './limit-costs.js'
import { mixNutrients } from './mix-nutrients.js'
import { decidingPrice, type PreparedMix } from './prepare-mix.js'

/** What was solved, and how it ended. */
export type Solved = PreparedMix & { readonly formulation: Formulation }

export const lotFacts = (lot: MixLot) => ({
  lotId: lot.id,
  lotNumber: lot.number,
  ingredientId: lot.ingredientId,
  ingredientNameEn: lot.ingredientNameEn,
  ingredientNameSw: lot.ingredientNameSw,
})

type InGrams = { readonly lot: MixLot; readonly kg: number; readonly grams: Grams }

/** The lots of the mix in whole grams, most first. Rounding leaves some grams over or short: the largest takes them, so that the sum is the batch. */
const gramsOf = (found: OptimalFormulation, { lots, batchKg }: Solved): readonly InGrams[] => {
  const rounded = lots
    .map((lot) => ({ lot, kg: found.amounts[lot.id] ?? 0, grams: gramsFromFloatKg(found.amounts[lot.id] ?? 0) }))
    .filter(({ grams }) => grams > 0)
    .sort((a, b) => b.kg - a.kg || a.lot.number - b.lot.number)
  const short = parseKg(batchKg) - rounded.reduce((sum, { grams }) => sum + grams, 0)
  return rounded.map((one, i) => (i === 0 ? { ...one, grams: toGrams(one.grams + short) } : one))
}

const amountsOf = (found: OptimalFormulation, solved: Solved): MixView['amounts'] =>
  gramsOf(found, solved).map(({ lot, kg, grams }) => {
    const pricePerKg = decidingPrice(lot)
    return {
      ...lotFacts(lot),
      pictogram: lot.pictogram,
      kg: formatKg(grams),
      pct: (100 * kg) / Number(solved.batchKg),
      pricePerKg,
      paidPricePerKg: lot.pricePerKg,
      cost: formatMoney(costOf(grams, parsePricePerKg(pricePerKg))),
    }
  })

const paidFor = (found: OptimalFormulation, solved: Solved): Cents =>
  sumCents(gramsOf(found, solved).map(({ lot, grams }) => costOf(grams, parsePricePerKg(lot.pricePerKg))))

// A price that would have to be below nothing is no price: such a lot never enters.
const breakEven = (price: number | undefined): string | null =>
  price === undefined || !(price > 0) ? null : formatPricePerKg(Math.floor(price * 10_000) as PricePerKg)

const notUsedOf = (found: OptimalFormulation, { lots }: Solved): MixView['notUsed'] =>
  lots
    .filter(({ id }) => found.amounts[id] !== undefined && gramsFromFloatKg(found.amounts[id]) <= 0)
    .map((lot) => ({ ...lotFacts(lot), pricePerKg: decidingPrice(lot), breakEvenPricePerKg: breakEven(found.breakEvenPrices[lot.id]) }))

const leftOutOf = ({ lots, problem, medicated, undeclared, failing, forOthers }: Solved): MixView['leftOut'] => {
  const byId = new Map(lots.map((lot) => [lot.id, lot]))
  const entry = (lot: MixLot, nutrient: string, reason: string, finding: FindingView | null = null) => ({
    lotId: lot.id,
    lotNumber: lot.number,
    ingredientId: lot.ingredientId,
    nutrient,
    reason,
    finding,
  })
  return [
    ...problem.leftOut.flatMap(({ lotId, nutrient, reason }) => {
      const lot = byId.get(lotId)
      return lot === undefined ? [] : [entry(lot, nutrient ?? '', reason)]
    }),
    ...medicated.map((lot) => entry(lot, '', 'medicine')),
    ...undeclared.map((lot) => entry(lot, '', 'medicine-not-declared')),
    ...forOthers.map((lot) => entry(lot, '', 'for-other-feeds')),
    ...failing.map(({ lot, finding }) =>
      entry(lot, '', 'fails-check', { ...finding, what: { ...finding.what, facts: { ...finding.what.facts } } }),
    ),
  ]
}

/** Lots left out as facts of a problem: which and why, without the whole finding. */
export const leftOutFacts = (leftOut: MixView['leftOut']) =>
  leftOut.map(({ finding, ...row }) => ({ ...row, rule: finding === null ? null : `${finding.ruleId} ${finding.what.code}` }))

const optimalParts = (
  found: OptimalFormulation,
  solved: Solved,
): Pick<MixView, 'costTotal' | 'costPerTonne' | 'paidTotal' | 'amounts' | 'nutrients' | 'limitCosts' | 'notUsed'> => {
  const compositions = new Map(solved.lots.map((lot) => [lot.id, lot.composition]))
  const parts = solved.counted.flatMap((lot) => {
    const kg = found.amounts[lot.id] ?? 0
    const composition = compositions.get(lot.id)
    return kg > 0 && composition !== undefined ? [{ kg, contents: lot.contents, spreads: lot.spreads, composition }] : []
  })
  return {
    costTotal: formatMoney(cents(Math.round(found.objective * 100))),
    costPerTonne: formatMoney(cents(Math.round((found.objective * 100_000) / Number(solved.batchKg)))),
    paidTotal: formatMoney(paidFor(found, solved)),
    amounts: amountsOf(found, solved),
    nutrients: mixNutrients(found, solved.counted, { limits: solved.limits, parts }),
    limitCosts: limitCosts(found, solved.problem.problem, askedOf(solved)),
    notUsed: notUsedOf(found, solved),
  }
}

const NOTHING = {
  costTotal: null,
  costPerTonne: null,
  paidTotal: null,
  amounts: [],
  nutrients: [],
  limitCosts: [],
  notUsed: [],
  conflict: [],
  reason: null,
}

/** The solver's answer in the mill's words. An infeasible mix is an answer: it names the limits that cannot hold together. */
export const mixView = (solved: Solved, findings: readonly FindingView[]): MixView => {
  const { formulation } = solved
  const common = { ...NOTHING, batchKg: formatKg(parseKg(solved.batchKg)), leftOut: leftOutOf(solved), findings: [...findings] }
  switch (formulation.status) {
    case 'optimal':
      return { ...common, kind: 'optimal', ...optimalParts(formulation, solved) }
    case 'infeasible': {
      const asked = askedOf(solved)
      return {
        ...common,
        kind: 'infeasible',
        conflict: formulation.conflict.map((row) => ({ row, limit: { ...describeLimit(row, asked) } })),
      }
    }
    case 'unbounded':
      return { ...common, kind: 'failed', reason: 'unbounded' }
    case 'failed':
      return { ...common, kind: 'failed', reason: formulation.reason }
    default:
      return formulation satisfies never
  }
}

import type { IntegerProgram, LinearProgram, LinearRow, LinearVariable } from './linear-program.js'
import type { FormulaProblem } from './problem.js'

/** An offer that comes in packs: which variable of the mix it fills, how much one pack holds, and how few are sold. */
export type Packed = { readonly index: number; readonly kg: number; readonly fewest: number }

/** More packs than this are never counted where neither the offer nor the batch says how many can be used. */
const ENDLESS_PACKS = 1e5

/** No more packs than are to be had (the supplier's last part pack is not sold), nor more than the whole batch could hold. */
function mostPacks({ variables }: LinearProgram, { index, kg, fewest }: Packed, batch: FormulaProblem['batch']): number {
  const there = variables[index]?.upper ?? null
  const useful = batch === undefined || batch.relation === '>=' ? ENDLESS_PACKS : Math.max(fewest, Math.ceil(batch.size / kg))
  const most = Math.min(useful, there === null ? useful : Math.floor(there / kg + 1e-9))
  return most < fewest ? 0 : most
}

const row = (at: number, bounds: Pick<LinearRow, 'lower' | 'upper'>, terms: readonly (readonly [number, number])[]): LinearRow => ({
  name: `r${at}`,
  ...bounds,
  columns: terms.map(([column]) => column),
  coefficients: terms.map(([, coefficient]) => coefficient),
})

/**
 * The program of the cheapest purchase: only what is bought costs, packs by the whole pack, the rest by weight at `prices`. The variables
 * after the amounts are the packs of each packed offer, in order, then a switch for each that has a fewest: none, or at least so many.
 */
export function purchaseProgram(
  base: LinearProgram,
  packs: readonly Packed[],
  prices: readonly number[],
  batch: FormulaProblem['batch'],
): IntegerProgram {
  const amounts = base.variables.length
  const inPacks = new Set(packs.map(({ index }) => index))
  const most = packs.map((one) => mostPacks(base, one, batch))
  const variables: LinearVariable[] = [
    ...base.variables.map((variable, i) => ({ ...variable, cost: inPacks.has(i) ? 0 : (prices[i] ?? 0) })),
    ...packs.map(({ index, kg }, i) => ({ name: `x${amounts + i}`, cost: kg * (prices[index] ?? 0), lower: 0, upper: most[i] ?? 0 })),
  ]
  const rows: LinearRow[] = [...base.rows]
  packs.forEach(({ index, kg, fewest }, i) => {
    const bought = amounts + i
    rows.push(
      row(rows.length, { lower: null, upper: 0 }, [
        [index, 1],
        [bought, -kg],
      ]),
    )
    if (fewest <= 1) return
    const asked = variables.push({ name: `x${variables.length}`, cost: 0, lower: 0, upper: 1 }) - 1
    rows.push(
      row(rows.length, { lower: 0, upper: null }, [
        [bought, 1],
        [asked, -fewest],
      ]),
      row(rows.length + 1, { lower: null, upper: 0 }, [
        [bought, 1],
        [asked, -(most[i] ?? 0)],
      ]),
    )
  })
  return { variables, rows, integer: variables.map((_, i) => i >= amounts) }
}

import type { GatePriceView } from '#contract/gate-price'

export type Feed = GatePriceView['feeds'][number]
export type Change = Omit<Feed['changes'][number], 'kg'> & { readonly kg: number }

/** More than the four largest changes are not read at the gate, and less than a kilogram is not seen on the floor scale. */
const SHOWN = 4
const LEAST_KG = 1

/** What is used more or less of each lot over some feeds together, the largest change first. */
export const totalChanges = (feeds: readonly Feed[]): readonly Change[] => {
  const totals = new Map<string, Change>()
  for (const change of feeds.flatMap(({ changes }) => changes)) {
    const before = totals.get(change.lotId)?.kg ?? 0
    totals.set(change.lotId, { ...change, kg: before + Number(change.kg) })
  }
  return [...totals.values()].toSorted((a, b) => Math.abs(b.kg) - Math.abs(a.kg))
}

/** The changes that are told one by one, and how many more there are. */
export const largest = (changes: readonly Change[]): { readonly shown: readonly Change[]; readonly rest: number } => {
  const shown = changes.filter(({ kg }) => Math.abs(kg) >= LEAST_KG).slice(0, SHOWN)
  return { shown, rest: changes.length - shown.length }
}

import { grams, sumGrams, type Grams } from '../quantity/mass.js'
import { preBlendOf, type PreBlendRow } from './pre-blend.js'
import type { AddingRole, WeighableLoad, WeighedLine } from './round-load.js'
import { allowedRange, stepOf, type AllowedRange, type ScaleKind, type Scales } from './scales.js'

/** One row of the batch sheet: one thing, one scale. */
export type SheetRow = AllowedRange & {
  readonly position: number
  readonly kind: 'lot' | 'pre-blend'
  readonly lotId: string | null
  readonly grams: Grams
  readonly scale: ScaleKind
  readonly runningTotal: Grams
}
export type Sheet = { readonly rows: readonly SheetRow[]; readonly preBlendRows: readonly PreBlendRow[] }

/** What has still to be placed on the sheet. */
type Item = { readonly kind: 'lot' | 'pre-blend'; readonly lotId: string | null; readonly grams: Grams; readonly scale: ScaleKind }

const half = (mass: number, step: Grams): number => Math.round(mass / 2 / step) * step
const biggestFirst = (a: WeighedLine, b: WeighedLine): number => b.grams - a.grams

/** Other grains go with the first half as long as that brings it nearer to half of all grain. */
function splitGrains(
  others: readonly WeighedLine[],
  firstHalf: number,
  allGrain: number,
): { readonly early: WeighedLine[]; readonly late: WeighedLine[] } {
  const early: WeighedLine[] = []
  const late: WeighedLine[] = []
  let sum = firstHalf
  for (const line of [...others].sort(biggestFirst)) {
    const nearer = Math.abs(sum + line.grams - allGrain / 2) < Math.abs(sum - allGrain / 2)
    if (nearer) sum += line.grams
    ;(nearer ? early : late).push(line)
  }
  return { early, late }
}

/** Part of the carrier: on its own scale, and the odd grams that this cannot show on the table scale. */
function weighings({ lotId, scale }: WeighedLine, mass: number, scales: Scales): Item[] {
  const odd = mass % stepOf(scales, scale)
  const items: Item[] = [
    { kind: 'lot', lotId, grams: grams(mass - odd), scale },
    { kind: 'lot', lotId, grams: grams(odd), scale: 'table' },
  ]
  return items.filter((item) => item.grams > 0)
}

/** The pre-blend goes in whole; a coarser scale that it passes may show the step below or above its grams. */
const shownAs = (mass: Grams, step: Grams): AllowedRange => ({
  allowedLow: grams(Math.floor(mass / step) * step),
  allowedHigh: grams(Math.ceil(mass / step) * step),
})

/**
 * The rows of the batch sheet in the order of adding: half the grain first, protein meals, minerals, the pre-blend of micros, the rest of
 * the grain, liquids last (MIX-21 of `seed/reference/mill_practice.csv`, textbook, from memory). The biggest grain stands in two rows.
 * A drug's allowed range never goes over its target.
 */
export function orderOfAdding(load: WeighableLoad, scales: Scales, drugLotIds: ReadonlySet<string> = new Set()): Sheet {
  const blend = preBlendOf(load, scales, drugLotIds)
  const blended = new Set(blend?.rows.map((row) => row.lotId))
  const direct = load.lines.filter((line) => line.lotId !== load.carrierLotId && !blended.has(line.lotId))
  const ofRole = (...roles: readonly AddingRole[]) => direct.filter((line) => roles.includes(line.role)).sort(biggestFirst)

  const carrier = load.lines.find((line) => line.lotId === load.carrierLotId)
  const left = (carrier?.grams ?? 0) - (blend?.carrierGrams ?? 0)
  // full bags go in first, the one that is opened later
  const bag = carrier?.bags && left >= 2 * carrier.bags.grams ? carrier.bags.grams : null
  const first = half(left, bag ?? stepOf(scales, carrier?.scale ?? 'floor'))
  const grains = ofRole('grain')
  const { early, late } = splitGrains(grains, first, left + sumGrams(grains.map((line) => line.grams)))
  const part = (mass: number): Item[] => (carrier ? weighings(carrier, mass, scales) : [])
  const whole = (lines: readonly WeighedLine[]): Item[] =>
    lines.map(({ lotId, grams: mass, scale }) => ({ kind: 'lot', lotId, grams: mass, scale }))

  const items: Item[] = [
    ...part(first),
    ...whole(early),
    ...whole(ofRole('protein')),
    ...whole(ofRole('other')),
    ...whole(ofRole('mineral')),
    ...whole(ofRole('micro')),
    ...(blend ? [{ kind: 'pre-blend' as const, lotId: null, grams: blend.grams, scale: 'floor' as const }] : []),
    ...part(left - first),
    ...whole(late),
    ...whole(ofRole('liquid')),
  ]
  let running = 0
  const rows = items.map((item, i): SheetRow => {
    running += item.grams
    const step = stepOf(scales, item.scale)
    const range =
      item.kind === 'pre-blend'
        ? shownAs(item.grams, step)
        : allowedRange(item.grams, step, item.lotId !== null && drugLotIds.has(item.lotId))
    return { position: i + 1, ...item, ...range, runningTotal: grams(running) }
  })
  return { rows, preBlendRows: blend?.rows ?? [] }
}

import type { Grams } from '../quantity/mass.js'
import type { LoadViolation, WeighedAmounts } from './check-load.js'
import type { Sheet } from './order-of-adding.js'
import type { Scales } from './scales.js'

/** What is wrong with a sheet; empty when it may be printed. */
export type SheetFault =
  | { readonly kind: 'mass'; readonly expected: number; readonly found: number }
  | { readonly kind: 'pre-blend-mass'; readonly expected: number; readonly found: number }
  | { readonly kind: 'running-total'; readonly position: number }
  | { readonly kind: 'step'; readonly lotId: string; readonly grams: number }
  | { readonly kind: 'range'; readonly lotId: string | null }
  | { readonly kind: 'limit'; readonly violation: LoadViolation }

/** The grams of each lot that somebody following the sheet puts into the mixer, pre-blend included. */
export function amountsOfSheet(sheet: Sheet): WeighedAmounts {
  const amounts = new Map<string, Grams>()
  for (const row of [...sheet.rows, ...sheet.preBlendRows]) {
    if (row.lotId !== null) amounts.set(row.lotId, ((amounts.get(row.lotId) ?? 0) + row.grams) as Grams)
  }
  return amounts
}

function massFaults(sheet: Sheet, load: Grams): SheetFault[] {
  const sum = sheet.rows.reduce((total, row) => total + row.grams, 0)
  const inBox = sheet.preBlendRows.reduce((total, row) => total + row.grams, 0)
  const asRow = sheet.rows.reduce((total, row) => total + (row.kind === 'pre-blend' ? row.grams : 0), 0)
  return [
    ...(sum === load ? [] : [{ kind: 'mass' as const, expected: load, found: sum }]),
    ...(inBox === asRow ? [] : [{ kind: 'pre-blend-mass' as const, expected: asRow, found: inBox }]),
  ]
}

function rowFaults(sheet: Sheet, scales: Scales): SheetFault[] {
  let running = 0
  const ofTotals = sheet.rows.flatMap((row): SheetFault[] => {
    running += row.grams
    return row.runningTotal === running ? [] : [{ kind: 'running-total', position: row.position }]
  })
  const weighings = [...sheet.rows, ...sheet.preBlendRows]
  const ofSteps = weighings.flatMap((row): SheetFault[] => {
    const step = row.scale === 'table' ? scales.tableStep : scales.floorStep
    return row.lotId === null || row.grams % step === 0 ? [] : [{ kind: 'step', lotId: row.lotId, grams: row.grams }]
  })
  const ofRanges = weighings.flatMap((row): SheetFault[] =>
    row.allowedLow <= row.grams && row.grams <= row.allowedHigh ? [] : [{ kind: 'range', lotId: row.lotId }],
  )
  return [...ofTotals, ...ofSteps, ...ofRanges]
}

/** Checks a batch sheet as it will be printed: exact mass, running totals, what each scale can show, and every limit, from the rows alone. */
export function recheckSheet(
  sheet: Sheet,
  load: Grams,
  scales: Scales,
  check: (amounts: WeighedAmounts) => readonly LoadViolation[],
): readonly SheetFault[] {
  const limits = check(amountsOfSheet(sheet)).map((violation): SheetFault => ({ kind: 'limit', violation }))
  return [...massFaults(sheet, load), ...rowFaults(sheet, scales), ...limits]
}

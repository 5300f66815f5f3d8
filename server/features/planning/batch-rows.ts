import type { MadeLoad } from '#core/milling/make-loads'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import type { Prisma } from '#platform/database/client'

type LineRow = Prisma.BatchLineCreateManyInput

/** The rows of a batch sheet as they are kept: what goes into the mixer, then the pre-blend box. */
export const batchLines = (batchId: string, { sheet }: MadeLoad): LineRow[] => {
  const loadRows = sheet.rows.map((row): LineRow => ({
    batchId,
    part: 'load',
    position: row.position,
    lotId: row.lotId,
    scale: row.scale,
    targetKg: formatKg(row.grams),
    allowedLowKg: formatKg(row.allowedLow),
    allowedHighKg: formatKg(row.allowedHigh),
    runningKg: formatKg(row.runningTotal),
  }))
  let running = grams(0)
  const preBlendRows = sheet.preBlendRows.map((row, index): LineRow => {
    running = grams(running + row.grams)
    return {
      batchId,
      part: 'pre-blend',
      position: index + 1,
      lotId: row.lotId,
      scale: row.scale,
      targetKg: formatKg(row.grams),
      allowedLowKg: formatKg(row.allowedLow),
      allowedHighKg: formatKg(row.allowedHigh),
      runningKg: formatKg(running),
    }
  })
  return [...loadRows, ...preBlendRows]
}

/** What all loads together take of each lot: this is what is reserved. */
export const sumOfLoads = (loads: readonly MadeLoad[]): ReadonlyMap<string, Grams> => {
  const sums = new Map<string, Grams>()
  for (const { lotId, grams: mass } of loads.flatMap(({ lines }) => lines)) sums.set(lotId, grams((sums.get(lotId) ?? 0) + mass))
  return sums
}

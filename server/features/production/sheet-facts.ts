import { MillError } from '#core/errors'
import { parseKg } from '#core/quantity/mass'
import { loadMill } from '#features/requirements/mill'
import type { Db } from '#platform/database/client'
import type { SheetFacts, SheetLine } from './batch-sheet-document.js'
import { findingsOf, medicineOf, partOf, withLines, type BatchWhole, type LineRow } from './batch-view.js'
import { mixerState, wasFlushed, type MixerState } from './mixer-history.js'

const kg = (value: { toFixed(places: number): string }) => parseKg(value.toFixed(3))

const lineOf = (line: LineRow): SheetLine => ({
  part: partOf(line.part),
  position: line.position,
  lot:
    line.lot === null
      ? null
      : {
          number: line.lot.number,
          net: kg(line.lot.netKg),
          bags: line.lot.bags,
          nameEn: line.lot.ingredient.nameEn,
          nameSw: line.lot.ingredient.nameSw,
          pictogram: line.lot.ingredient.pictogram,
        },
  scale: line.scale === 'table' ? 'table' : 'floor',
  target: kg(line.targetKg),
  allowedLow: kg(line.allowedLowKg),
  allowedHigh: kg(line.allowedHighKg),
  running: kg(line.runningKg),
})

// The check of the dose carries what the authorised use says of the days of waiting; unknown stays unknown.
const medicineFacts = (row: BatchWhole): SheetFacts['medicine'] => {
  const medicine = medicineOf(row.medication)
  if (medicine === null) return null
  const days = findingsOf(row.findings).flatMap(({ what }) =>
    typeof what.facts['withdrawalDays'] === 'number' ? [what.facts['withdrawalDays']] : [],
  )
  return { ...medicine, withdrawalDays: days.length === 0 ? null : Math.max(...days) }
}

const beforeFacts = ({ previous, findings }: MixerState): SheetFacts['before'] => {
  const finding = findings.find(({ severity }) => severity === 'block') ?? findings.at(-1)
  if (finding === undefined) return { previous, need: 'nothing' }
  return { previous: Number(finding.what.facts['load']), need: finding.severity === 'block' ? 'flush-and-drug-free-load' : 'flush' }
}

type Printing = { readonly db: Db; readonly now: Date; readonly printedBy: string }

/** Everything a batch sheet shows. The language is the mill's own for sheets unless another is asked for. */
export const loadSheetFacts = async ({ db, now, printedBy }: Printing, id: string, language?: 'en' | 'sw'): Promise<SheetFacts> => {
  const row = await db.batch.findUnique({ where: { id }, include: { ...withLines, mixer: true } })
  if (row === null) throw new MillError('not-found')
  const mill = await loadMill(db)
  const { formula } = row.order.formulaVersion
  const load = {
    batchId: id,
    mixerId: row.mixerId,
    stage: formula.stage,
    medication: row.medication,
    flushed: wasFlushed(findingsOf(row.findings)),
  }
  const before = beforeFacts(await mixerState(db, load, now))
  return {
    language: language ?? mill.sheetLanguage,
    mill,
    mixer: row.mixer,
    batch: {
      number: row.number,
      load: kg(row.loadKg),
      bag: kg(row.bagKg),
      loadOfOrder: row.loadOfOrder,
      loadsOfOrder: row.order._count.batches,
    },
    order: { number: row.order.number },
    feed: formula,
    medicine: medicineFacts(row),
    before,
    lines: row.lines.map(lineOf),
    printedAt: now,
    printedBy,
  }
}

import type { BatchSheetView } from '#contract/production'
import { mm, PAGE, type Pdf } from '#platform/documents/page'
import { drawQr } from '#platform/documents/qr'
import { drawBox, drawPictogram, drawRule, drawStrip } from '#platform/documents/shapes'
import { drawInBox, drawLine } from '#platform/documents/text'
import { BATCH_SHEET_WORDS } from './batch-sheet-words.js'

export const HEAD_MM = { strip: 2, title: 17.2, feed: 12.5, medicineBar: 10.5, before: 6, carried: 7, columns: 4.6 } as const
/** Columns of the table: one row is one thing on one scale, read from left to right, the tick last. */
export const COLUMNS_MM = { position: 7, pictogram: 12, name: 34, lot: 15, bags: 25, kg: 29, running: 20, weighed: 26, tick: 8 } as const
export type ColumnName = keyof typeof COLUMNS_MM
export const COLUMN_NAMES = Object.keys(COLUMNS_MM) as readonly ColumnName[]

export const columnLeftMm = (name: ColumnName): number => {
  let left: number = PAGE.leftMm
  for (const column of COLUMN_NAMES) {
    if (column === name) break
    left += COLUMNS_MM[column]
  }
  return left
}

const QR_MM = 16
const right = PAGE.leftMm + PAGE.contentMm

/** Strip, title, mill, load number and QR code; the same on every sheet. Gives the height used. */
export const drawTitle = (doc: Pdf, sheet: BatchSheetView, page: number, pages: number): number => {
  const words = BATCH_SHEET_WORDS[sheet.language]
  drawStrip(doc, PAGE.topMm)
  const top = PAGE.topMm + HEAD_MM.strip
  const left = PAGE.leftMm
  drawLine(doc, sheet.title, { xMm: left, baselineMm: top + 7.5, maxMm: 84 }, { size: 20, bold: true })
  drawLine(doc, `${sheet.mill}, ${sheet.phone}`, { xMm: left, baselineMm: top + 11.8, maxMm: 100 }, { size: 11 })
  drawLine(doc, words.printed(sheet.printedAt, sheet.printedBy), { xMm: left, baselineMm: top + 16, maxMm: 112 }, { size: 11 })
  const beforeQr = right - QR_MM - 3
  const number = String(sheet.batchNumber)
  const numberMm = drawLine(doc, number, { xMm: beforeQr - 46, baselineMm: top + 10, maxMm: 46, align: 'right' }, { size: 36, bold: true })
  const label = words.load(sheet.batchNumber).replace(number, '').trim()
  drawLine(doc, label, { xMm: beforeQr - numberMm - 26, baselineMm: top + 10, maxMm: 24, align: 'right' }, { size: 14 })
  drawLine(doc, words.sheet(page, pages), { xMm: beforeQr - 46, baselineMm: top + 16, maxMm: 46, align: 'right' }, { size: 11 })
  drawQr(doc, sheet.qr, { xMm: right - QR_MM, topMm: top + 0.5, sizeMm: QR_MM })
  return HEAD_MM.strip + HEAD_MM.title
}

const drawMedicineBar = (doc: Pdf, text: string, top: number): void => {
  const height = HEAD_MM.medicineBar - 1
  doc.rect(mm(PAGE.leftMm), mm(top), mm(PAGE.contentMm), mm(height)).fill('black')
  drawPictogram(doc, 'pill', { xMm: PAGE.leftMm + 1.5, topMm: top + 1.2, sizeMm: height - 2.4, color: 'white' })
  // What it is and how strong in the first line, what follows from it in the second.
  const [first = '', ...rest] = text.split('; ')
  const at = { xMm: PAGE.leftMm + 12, maxMm: PAGE.contentMm - 14 }
  drawLine(doc, first, { ...at, baselineMm: top + 4.7 }, { size: 14, bold: true, color: 'white' })
  drawLine(doc, rest.join('; '), { ...at, baselineMm: top + 8.5 }, { size: 11, color: 'white' })
}

/** Which feed, for which birds, how much, on which mixer; medicated feed has a black bar across the page. Gives the height used. */
export const drawFeed = (doc: Pdf, sheet: BatchSheetView, top: number): number => {
  const left = PAGE.leftMm
  drawRule(doc, { xMm: left, yMm: top }, { xMm: right, yMm: top })
  drawPictogram(doc, sheet.birdPictogram, { xMm: left, topMm: top + 1.3, sizeMm: 10 })
  drawLine(doc, sheet.feedName, { xMm: left + 12, baselineMm: top + 7.4, maxMm: 102 }, { size: 24, bold: true })
  drawLine(doc, sheet.stage, { xMm: left + 12, baselineMm: top + 11.6, maxMm: 102 }, { size: 11 })
  drawLine(doc, sheet.loadKg, { xMm: left + 116, baselineMm: top + 6.9, maxMm: 60, align: 'right' }, { size: 24, bold: true })
  const mixer = sheet.medicine.medicated ? sheet.mixerName : `${sheet.mixerName}, ${sheet.medicine.text}`
  drawLine(doc, mixer, { xMm: left + 116, baselineMm: top + 11.9, maxMm: 60, align: 'right' }, { size: 11 })
  if (!sheet.medicine.medicated) return HEAD_MM.feed
  drawMedicineBar(doc, sheet.medicine.text, top + HEAD_MM.feed)
  return HEAD_MM.feed + HEAD_MM.medicineBar
}

const BEFORE_MM = [33, 97, 40] as const

/** What must be true before the first weighing, each with a box to tick. Gives the height used. */
export const drawBefore = (doc: Pdf, sheet: BatchSheetView, top: number): number => {
  drawRule(doc, { xMm: PAGE.leftMm, yMm: top }, { xMm: right, yMm: top })
  const height = HEAD_MM.before
  drawPictogram(doc, 'broom', { xMm: PAGE.leftMm, topMm: top + 0.6, sizeMm: 4.8 })
  let x = PAGE.leftMm + 6
  sheet.before.forEach((text, i) => {
    const width = BEFORE_MM[i] ?? BEFORE_MM[0]
    drawBox(doc, { xMm: x, topMm: top + 1, widthMm: 4, heightMm: 4 }, 1)
    drawInBox(doc, text, { xMm: x + 5.5, topMm: top, widthMm: width - 7, heightMm: height, maxLines: 1, smallest: 8 }, { size: 11 })
    x += width
  })
  return height
}

/** The heads of the columns, on every sheet. */
export const drawColumnHeads = (doc: Pdf, sheet: BatchSheetView, top: number): number => {
  for (const column of COLUMN_NAMES) {
    const word = sheet.columns[column] ?? ''
    const widthMm = COLUMNS_MM[column]
    const align =
      column === 'kg' || column === 'running' ? 'right' : column === 'lot' || column === 'weighed' || column === 'tick' ? 'center' : 'left'
    const pad = align === 'right' ? 1.5 : 0
    drawLine(doc, word, { xMm: columnLeftMm(column), baselineMm: top + 3.5, maxMm: widthMm - pad, align }, { size: 10 })
  }
  const bottom = top + HEAD_MM.columns
  drawRule(doc, { xMm: PAGE.leftMm, yMm: bottom }, { xMm: right, yMm: bottom }, 1)
  return HEAD_MM.columns
}

import type { BlankPaperView } from '#contract/sheets'
import { bytesOf, openDocument, PAGE, type Pdf } from '#platform/documents/page'
import { drawQr } from '#platform/documents/qr'
import { drawBox, drawPictogram, drawRule, drawStrip } from '#platform/documents/shapes'
import { drawLine } from '#platform/documents/text'

const left = PAGE.leftMm
const right = PAGE.leftMm + PAGE.contentMm
const COLUMN_MM = PAGE.contentMm / 4
const QR_MM = 26
/** A pencil in a dusty hand writes figures of a centimetre; where nothing stands below, there is room for more. */
const BOX_MM = 18
const HIGH_BOX_MM = 23
const LABEL_MM = 5
type Box = BlankPaperView['boxes'][number]
type Place = { readonly x: number; readonly top: number; readonly heightMm: number }

const drawHead = (doc: Pdf, paper: BlankPaperView, code: string, qr: string): number => {
  const top: number = PAGE.topMm
  const beside = PAGE.contentMm - QR_MM - 6
  drawStrip(doc, top)
  drawLine(doc, paper.title, { xMm: left, baselineMm: top + 12, maxMm: beside }, { size: 22, bold: true })
  drawLine(doc, code, { xMm: left, baselineMm: top + 27, maxMm: beside }, { size: 36, bold: true })
  drawLine(doc, paper.mill, { xMm: left + 52, baselineMm: top + 22, maxMm: beside - 52 }, { size: 11 })
  drawLine(doc, paper.printed, { xMm: left + 52, baselineMm: top + 27, maxMm: beside - 52 }, { size: 11 })
  drawLine(doc, paper.use, { xMm: left, baselineMm: top + 34, maxMm: beside }, { size: 13 })
  drawQr(doc, qr, { xMm: right - QR_MM - 1, topMm: top + 4, sizeMm: QR_MM })
  drawLine(doc, code, { xMm: right - QR_MM, baselineMm: top + 35, maxMm: QR_MM - 2, align: 'center' }, { size: 12, bold: true })
  return top + 39
}

/** Day, month, hour and minute, a cell a digit: what is read later must not be guessed. */
const drawWhen = (doc: Pdf, when: string, top: number): number => {
  drawLine(doc, when, { xMm: left, baselineMm: top + 4, maxMm: PAGE.contentMm }, { size: 12, bold: true })
  const [cell, high] = [12, 13]
  const parts = ['', '/', '', ':']
  let x: number = left
  parts.forEach((mark, i) => {
    if (mark !== '') drawLine(doc, mark, { xMm: x - 5.4, baselineMm: top + 15, maxMm: 4, align: 'center' }, { size: 20, bold: true })
    drawBox(doc, { xMm: x, topMm: top + 6, widthMm: cell, heightMm: high }, 1)
    drawBox(doc, { xMm: x + cell, topMm: top + 6, widthMm: cell, heightMm: high }, 1)
    x += 2 * cell + (i === 1 ? 14 : 7)
  })
  drawPictogram(doc, 'clock', { xMm: left + 4 * cell + 9.5, topMm: top + 8.5, sizeMm: 8 })
  return top + 6 + high + 4
}

const drawWriteBox = (doc: Pdf, { label, columns, unit, hint }: Box, { x, top, heightMm }: Place): void => {
  const widthMm = columns * COLUMN_MM
  drawBox(doc, { xMm: x, topMm: top, widthMm, heightMm }, 0.8)
  drawLine(doc, label, { xMm: x + 1.5, baselineMm: top + LABEL_MM - 0.6, maxMm: widthMm - 3 }, { size: 11 })
  const foot = { baselineMm: top + heightMm - 1.8, maxMm: widthMm - 3 }
  if (hint !== '') drawLine(doc, hint, { xMm: x + 1.5, ...foot, align: 'right' }, { size: 9 })
  if (unit !== '') drawLine(doc, unit, { xMm: x + 1.5, ...foot, align: 'right' }, { size: 14, bold: true })
}

/** Boxes in rows of four columns; one that does not fit begins the next row. Gives the height at which they end. */
const drawBoxes = (doc: Pdf, boxes: readonly Box[], top: number, heightMm = BOX_MM): number => {
  let [column, y] = [0, top]
  for (const box of boxes) {
    if (column + box.columns > 4) [column, y] = [0, y + heightMm]
    drawWriteBox(doc, box, { x: left + column * COLUMN_MM, top: y, heightMm })
    column += box.columns
  }
  return boxes.length === 0 ? y : y + heightMm + 4
}

const HEAD_ROW_MM = 6
const drawTable = (doc: Pdf, { title, columns, rows }: NonNullable<BlankPaperView['table']>, top: number, rowMm: number): number => {
  drawLine(doc, title, { xMm: left, baselineMm: top + 4, maxMm: PAGE.contentMm }, { size: 11, bold: true })
  const [head, whole] = [top + 6, columns.reduce((sum, { share }) => sum + share, 0)]
  const bottom = head + HEAD_ROW_MM + rows * rowMm
  let x: number = left
  columns.forEach(({ label, share }, i) => {
    const widthMm = (share / whole) * PAGE.contentMm
    drawLine(doc, label, { xMm: x + 1.5, baselineMm: head + 4.4, maxMm: widthMm - 3 }, { size: 11 })
    if (i > 0) drawRule(doc, { xMm: x, yMm: head }, { xMm: x, yMm: bottom })
    if (label === '#')
      for (let row = 1; row <= rows; row += 1) {
        const baselineMm = head + HEAD_ROW_MM + (row - 0.5) * rowMm + 1.8
        drawLine(doc, String(row), { xMm: x + 1.5, baselineMm, maxMm: widthMm - 3, align: 'center' }, { size: 13 })
      }
    x += widthMm
  })
  for (let row = 0; row < rows; row += 1)
    drawRule(doc, { xMm: left, yMm: head + HEAD_ROW_MM + row * rowMm }, { xMm: right, yMm: head + HEAD_ROW_MM + row * rowMm })
  drawBox(doc, { xMm: left, topMm: head, widthMm: PAGE.contentMm, heightMm: bottom - head }, 0.8)
  return bottom + 4
}

const TICK_MM = 7
const drawTicks = (doc: Pdf, { title, points }: NonNullable<BlankPaperView['ticks']>, top: number): number => {
  drawLine(doc, title, { xMm: left, baselineMm: top + 4, maxMm: PAGE.contentMm }, { size: 12, bold: true })
  points.forEach((point, i) => {
    const [x, y] = [left + (i % 2) * 2 * COLUMN_MM, top + 7 + Math.floor(i / 2) * (TICK_MM + 4)]
    drawBox(doc, { xMm: x, topMm: y, widthMm: TICK_MM, heightMm: TICK_MM }, 1)
    drawLine(doc, point, { xMm: x + TICK_MM + 2, baselineMm: y + 5, maxMm: 2 * COLUMN_MM - TICK_MM - 4 }, { size: 14 })
  })
  return top + 7 + Math.ceil(points.length / 2) * (TICK_MM + 4) + 2
}

const FOOT_MM = 42
const drawFoot = (doc: Pdf, paper: BlankPaperView): void => {
  const top = PAGE.heightMm - PAGE.bottomMm - FOOT_MM
  const half = PAGE.contentMm / 2
  paper.signatures.forEach((who, i) => {
    const x = left + i * half
    const wide = drawLine(doc, who, { xMm: x, baselineMm: top + 10, maxMm: half / 2 }, { size: 12 })
    drawRule(doc, { xMm: x + wide + 2, yMm: top + 11 }, { xMm: x + half - 6, yMm: top + 11 })
  })
  drawRule(doc, { xMm: left, yMm: top + 17 }, { xMm: right, yMm: top + 17 })
  drawPictogram(doc, 'mask-and-gloves', { xMm: left, topMm: top + 18.5, sizeMm: 9 })
  drawLine(
    doc,
    `${paper.cautions.join('. ')}.`,
    { xMm: left + 12, baselineMm: top + 24.5, maxMm: PAGE.contentMm - 12 },
    { size: 12, bold: true },
  )
  drawRule(doc, { xMm: left, yMm: top + 29 }, { xMm: right, yMm: top + 29 })
  drawBox(doc, { xMm: left, topMm: top + 32, widthMm: TICK_MM, heightMm: TICK_MM }, 1)
  const wide = drawLine(doc, paper.entered, { xMm: left + TICK_MM + 3, baselineMm: top + 37.4, maxMm: 90 }, { size: 12 })
  drawRule(doc, { xMm: left + TICK_MM + 5 + wide, yMm: top + 38.4 }, { xMm: right, yMm: top + 38.4 })
}

/** As high as the page leaves room for, but no row lower than a pencil can write in. */
const rowMmOf = ({ table, after }: BlankPaperView, top: number): number => {
  const room = PAGE.heightMm - PAGE.bottomMm - FOOT_MM - top - (after.length > 0 ? BOX_MM + 4 : 0) - HEAD_ROW_MM - 10
  return Math.min(16, room / (table?.rows ?? 1))
}

const drawSheet = (doc: Pdf, paper: BlankPaperView, { code, qr }: BlankPaperView['sheets'][number]): void => {
  doc.addPage()
  let top = drawWhen(doc, paper.when, drawHead(doc, paper, code, qr))
  top = drawBoxes(doc, paper.boxes, top, paper.table === null ? HIGH_BOX_MM : BOX_MM)
  if (paper.ticks !== null) top = drawTicks(doc, paper.ticks, top)
  if (paper.table !== null) top = drawTable(doc, paper.table, top, rowMmOf(paper, top))
  drawBoxes(doc, paper.after, top)
  drawFoot(doc, paper)
}

/** A page a sheet. */
export const blankSheetPdf = async (paper: BlankPaperView, at: Date): Promise<Uint8Array> => {
  const title = `${paper.title} ${paper.sheets.map(({ code }) => code).join(', ')}`
  const doc = openDocument({ title, author: paper.mill, language: paper.language, at })
  for (const sheet of paper.sheets) drawSheet(doc, paper, sheet)
  return bytesOf(doc)
}

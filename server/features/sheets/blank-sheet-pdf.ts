import type { BlankPaperView } from '#contract/sheets'
import { bytesOf, openDocument, PAGE, type Pdf } from '#platform/documents/page'
import { drawQr } from '#platform/documents/qr'
import { drawBox, drawPictogram, drawRule, drawStrip } from '#platform/documents/shapes'
import { drawLine, widthMm } from '#platform/documents/text'

const left = PAGE.leftMm
const right = PAGE.leftMm + PAGE.contentMm
const COLUMN_MM = PAGE.contentMm / 4
const QR_MM = 26
/** Six digits stand at full size; more are set smaller, so that the mill's name keeps its place. */
const NUMBER_MM = 58
/** A pencil in a dusty hand writes figures of a centimetre; where no table stands below, there is room for more. */
const BOX_MM = 16
const HIGH_BOX_MM = 20.5
const LABEL_MM = 5
type Box = BlankPaperView['boxes'][number]
type Place = { readonly x: number; readonly top: number; readonly heightMm: number }

const drawHead = (doc: Pdf, paper: BlankPaperView, code: string, qr: string): number => {
  const top: number = PAGE.topMm
  const beside = PAGE.contentMm - QR_MM - 6
  drawStrip(doc, top)
  drawLine(doc, paper.title, { xMm: left, baselineMm: top + 12, maxMm: beside }, { size: 22, bold: true })
  // The number grows with the years; what stands beside it moves.
  const numberMm = drawLine(doc, code, { xMm: left, baselineMm: top + 27, maxMm: NUMBER_MM }, { size: 36, bold: true }) + 5
  drawLine(doc, paper.mill, { xMm: left + numberMm, baselineMm: top + 22, maxMm: beside - numberMm }, { size: 11 })
  drawLine(doc, paper.printed, { xMm: left + numberMm, baselineMm: top + 27, maxMm: beside - numberMm }, { size: 11 })
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
type Table = BlankPaperView['tables'][number]
type Frame = { readonly x: number; readonly widthMm: number; readonly top: number; readonly rowMm: number }

/** What is printed in each row: its number, or at its right end the unit of what is written there. */
const drawCell = (
  doc: Pdf,
  { label, unit }: Table['columns'][number],
  row: number,
  at: { xMm: number; baselineMm: number; maxMm: number },
) => {
  if (label === '#') drawLine(doc, String(row), { ...at, align: 'center' }, { size: 12 })
  else if (unit !== '') drawLine(doc, unit, { ...at, align: 'right' }, { size: 12, bold: true })
}

const drawTable = (doc: Pdf, { title, columns, rows }: Table, { x: from, widthMm: whole, top, rowMm }: Frame): number => {
  drawLine(doc, title, { xMm: from, baselineMm: top + 4, maxMm: whole }, { size: 11, bold: true })
  const [head, shares] = [top + 6, columns.reduce((sum, { share }) => sum + share, 0)]
  const [body, bottom] = [head + HEAD_ROW_MM, head + HEAD_ROW_MM + rows * rowMm]
  let x = from
  columns.forEach((column, i) => {
    const wide = (column.share / shares) * whole
    drawLine(doc, column.label, { xMm: x + 1.5, baselineMm: head + 4.4, maxMm: wide - 3 }, { size: 11 })
    if (i > 0) drawRule(doc, { xMm: x, yMm: head }, { xMm: x, yMm: bottom })
    for (let row = 1; row <= rows; row += 1)
      drawCell(doc, column, row, { xMm: x + 1, baselineMm: body + (row - 0.5) * rowMm + 1.6, maxMm: wide - 2 })
    x += wide
  })
  for (let row = 0; row < rows; row += 1)
    drawRule(doc, { xMm: from, yMm: body + row * rowMm }, { xMm: from + whole, yMm: body + row * rowMm })
  drawBox(doc, { xMm: from, topMm: head, widthMm: whole, heightMm: bottom - head }, 0.8)
  return bottom + 4
}

const BETWEEN_TABLES_MM = 4
/** Tables stand side by side, all with rows of one height. Gives the height at which they end. */
const drawTables = (doc: Pdf, tables: readonly Table[], top: number, rowMm: number): number => {
  const widthMm = (PAGE.contentMm - (tables.length - 1) * BETWEEN_TABLES_MM) / tables.length
  return Math.max(
    top,
    ...tables.map((table, i) => drawTable(doc, table, { x: left + i * (widthMm + BETWEEN_TABLES_MM), widthMm, top, rowMm })),
  )
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

const FOOT_MM = 46
const CAUTION = { size: 12, bold: true }
/** Cautions in two lines at most, none broken in two where it fits whole, as large as they fit. */
const cautionLines = (doc: Pdf, cautions: readonly string[], maxMm: number): { lines: string[]; size: number } => {
  const sentences = cautions.map((caution) => `${caution}.`)
  for (let { size } = CAUTION; ; size -= 0.5) {
    const lines: string[] = []
    for (const sentence of sentences) {
      const joined = `${lines.at(-1) ?? ''} ${sentence}`.trim()
      if (lines.length > 0 && widthMm(doc, joined, { ...CAUTION, size }) <= maxMm) lines[lines.length - 1] = joined
      else lines.push(sentence)
    }
    if (lines.length <= 2 || size <= 9) return { lines, size }
  }
}

const drawFoot = (doc: Pdf, paper: BlankPaperView): void => {
  const top = PAGE.heightMm - PAGE.bottomMm - FOOT_MM
  const half = PAGE.contentMm / 2
  paper.signatures.forEach((who, i) => {
    const x = left + i * half
    const wide = drawLine(doc, who, { xMm: x, baselineMm: top + 10, maxMm: half / 2 }, { size: 12 })
    drawRule(doc, { xMm: x + wide + 2, yMm: top + 11 }, { xMm: x + half - 6, yMm: top + 11 })
  })
  drawRule(doc, { xMm: left, yMm: top + 16 }, { xMm: right, yMm: top + 16 })
  drawPictogram(doc, 'mask-and-gloves', { xMm: left, topMm: top + 19, sizeMm: 11 })
  const { lines, size } = cautionLines(doc, paper.cautions, PAGE.contentMm - 14)
  const first = lines.length === 1 ? 26 : 22.6
  lines.forEach((line, i) =>
    drawLine(doc, line, { xMm: left + 14, baselineMm: top + first + i * 6.4, maxMm: PAGE.contentMm - 14 }, { ...CAUTION, size }),
  )
  drawRule(doc, { xMm: left, yMm: top + 33 }, { xMm: right, yMm: top + 33 })
  drawBox(doc, { xMm: left, topMm: top + 36, widthMm: TICK_MM, heightMm: TICK_MM }, 1)
  const wide = drawLine(doc, paper.entered, { xMm: left + TICK_MM + 3, baselineMm: top + 41.4, maxMm: 90 }, { size: 12 })
  drawRule(doc, { xMm: left + TICK_MM + 5 + wide, yMm: top + 42.4 }, { xMm: right, yMm: top + 42.4 })
}

/** As high as the page leaves room for. */
const rowMmOf = ({ tables, after }: BlankPaperView, top: number): number => {
  const room = PAGE.heightMm - PAGE.bottomMm - FOOT_MM - top - (after.length > 0 ? BOX_MM + 4 : 0) - HEAD_ROW_MM - 10
  return Math.min(16, room / Math.max(1, ...tables.map(({ rows }) => rows)))
}

const drawSheet = (doc: Pdf, paper: BlankPaperView, { code, qr }: BlankPaperView['sheets'][number]): void => {
  doc.addPage()
  let top = drawWhen(doc, paper.when, drawHead(doc, paper, code, qr))
  top = drawBoxes(doc, paper.boxes, top, paper.tables.length === 0 ? HIGH_BOX_MM : BOX_MM)
  if (paper.ticks !== null) top = drawTicks(doc, paper.ticks, top)
  top = drawTables(doc, paper.tables, top, rowMmOf(paper, top))
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

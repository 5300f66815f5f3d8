import type { BatchSheetView } from '#contract/production'
import { PAGE, type Pdf } from '#platform/documents/page'
import { drawBox, drawPictogram, drawRule } from '#platform/documents/shapes'
import { drawInBox, drawLine, fittingSize, widthMm, type Align, type TextStyle } from '#platform/documents/text'
import { columnLeftMm, COLUMNS_MM } from './sheet-head.js'

export const ROW_MM = 14
type Row = BatchSheetView['rows'][number]

/** A figure with its unit smaller, so that the digits stand out and no point is lost in dust. */
export const drawFigure = (
  doc: Pdf,
  figure: string,
  at: { readonly xMm: number; readonly baselineMm: number; readonly maxMm: number; readonly align?: Align },
  style: TextStyle,
): void => {
  const [digits = '', unit = ''] = figure.split('\u00a0')
  const unitStyle = { ...style, size: Math.max(11, style.size * 0.6) }
  const unitMm = unit === '' ? 0 : widthMm(doc, unit, unitStyle) + 1
  const digitsMm = Math.min(widthMm(doc, digits, style), at.maxMm - unitMm)
  const start = at.align === 'right' ? at.xMm + at.maxMm - digitsMm - unitMm : at.xMm
  drawLine(doc, digits, { xMm: start, baselineMm: at.baselineMm, maxMm: digitsMm }, style)
  if (unit !== '') drawLine(doc, unit, { xMm: start + digitsMm + 1, baselineMm: at.baselineMm }, unitStyle)
}

/** The number of a lot in a box, as it stands on the card at the stack. */
export const drawLotNumber = (
  doc: Pdf,
  number: string,
  box: { readonly xMm: number; readonly topMm: number; readonly widthMm: number; readonly heightMm: number },
  size: number,
): void => {
  if (number === '') return
  drawBox(doc, box, 1)
  const maxMm = box.widthMm - 1.4
  const fitted = { size: fittingSize(doc, number, { size, bold: true }, maxMm), bold: true }
  // Digits of Andika are about 0.72 em high: half of that below the middle.
  const baselineMm = box.topMm + box.heightMm / 2 + (fitted.size * 0.36 * 25.4) / 72
  drawLine(doc, number, { xMm: box.xMm + 0.7, baselineMm, maxMm, align: 'center' }, fitted)
}

// Boxes in fives, as people count; the more there are the smaller they get, down to three lines of ten.
const sackGrid = (count: number): { perLine: number; sizeMm: number } =>
  count <= 5 ? { perLine: 5, sizeMm: 4.2 } : count <= 10 ? { perLine: 5, sizeMm: 2.7 } : { perLine: 10, sizeMm: count <= 20 ? 1.9 : 1.6 }

const drawSacks = (doc: Pdf, row: Row, top: number): void => {
  const left = columnLeftMm('bags')
  const width = COLUMNS_MM.bags - 1.5
  if (row.bags === 0) {
    drawInBox(doc, row.loose, { xMm: left, topMm: top, widthMm: width, heightMm: ROW_MM, maxLines: 2, smallest: 9 }, { size: 12 })
    return
  }
  const { perLine, sizeMm } = sackGrid(row.bags)
  for (let i = 0; i < row.bags; i += 1) {
    const column = i % perLine
    const line = Math.floor(i / perLine)
    const gap = perLine === 10 && column >= 5 ? 1 : 0
    drawBox(
      doc,
      {
        xMm: left + column * (sizeMm + 0.4) + gap,
        topMm: top + 0.9 + line * (sizeMm + 0.5),
        widthMm: sizeMm,
        heightMm: sizeMm,
      },
      0.8,
    )
  }
  const [wordsMm, restMm] = row.loose === '' ? [ROW_MM - 1.4, ROW_MM] : [ROW_MM - 4.4, ROW_MM - 0.7]
  drawLine(doc, row.bagsOf, { xMm: left, baselineMm: top + wordsMm, maxMm: width }, { size: 9 })
  drawLine(doc, row.loose, { xMm: left, baselineMm: top + restMm, maxMm: width }, { size: 11, bold: true })
}

const drawTargets = (doc: Pdf, row: Row, top: number): void => {
  const maxMm = COLUMNS_MM.kg - 1.5
  drawFigure(doc, row.kg, { xMm: columnLeftMm('kg'), baselineMm: top + 7.4, maxMm, align: 'right' }, { size: 20, bold: true })
  drawLine(doc, row.allowed, { xMm: columnLeftMm('kg'), baselineMm: top + 12.4, maxMm, align: 'right' }, { size: 11 })
  drawLine(
    doc,
    row.running,
    { xMm: columnLeftMm('running'), baselineMm: top + ROW_MM / 2 + 1.8, maxMm: COLUMNS_MM.running - 1.5, align: 'right' },
    { size: 14 },
  )
}

/** One row of the table: number, pictogram, name, lot, sacks, target with its range, running total, blank, tick. */
export const drawRow = (doc: Pdf, row: Row, top: number): void => {
  const middle = top + ROW_MM / 2
  drawLine(doc, String(row.position), { xMm: PAGE.leftMm, baselineMm: middle + 1.8 }, { size: 14, bold: true })
  drawPictogram(doc, row.pictogram, { xMm: columnLeftMm('pictogram'), topMm: middle - 5, sizeMm: 10 })
  drawInBox(
    doc,
    row.name,
    { xMm: columnLeftMm('name'), topMm: top, widthMm: COLUMNS_MM.name - 1.5, heightMm: ROW_MM, maxLines: 2, smallest: 10 },
    { size: 14, bold: true },
  )
  drawLotNumber(doc, row.lotNumber, { xMm: columnLeftMm('lot'), topMm: top + 1.3, widthMm: COLUMNS_MM.lot - 2, heightMm: ROW_MM - 2.6 }, 28)
  drawSacks(doc, row, top)
  drawTargets(doc, row, top)
  drawBox(doc, { xMm: columnLeftMm('weighed'), topMm: top + 1.8, widthMm: COLUMNS_MM.weighed - 2, heightMm: ROW_MM - 3.6 })
  drawBox(doc, { xMm: columnLeftMm('tick') + 1, topMm: middle - 3, widthMm: 6, heightMm: 6 }, 1)
  drawRule(doc, { xMm: PAGE.leftMm, yMm: top + ROW_MM }, { xMm: PAGE.leftMm + PAGE.contentMm, yMm: top + ROW_MM })
}

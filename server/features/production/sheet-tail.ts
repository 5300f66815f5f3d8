import type { BatchSheetView } from '#contract/production'
import { PAGE, type Pdf } from '#platform/documents/page'
import { drawBox, drawPictogram, drawRule } from '#platform/documents/shapes'
import { drawInBox, drawLine } from '#platform/documents/text'
import { drawFigure, drawLotNumber } from './sheet-rows.js'

const TAIL_MM = { preBlendTitle: 5.2, mixing: 7.5, signatures: 7, line: 4.3, gap: 0.8 } as const
/** A full page has cells of the small height; wherever there is room they get the large one. */
export const PRE_BLEND_CELL_MM = { small: 14, large: 20 } as const
const CELLS_PER_LINE = 5
const left = PAGE.leftMm
const right = PAGE.leftMm + PAGE.contentMm

const cellLines = (sheet: BatchSheetView): number => Math.ceil((sheet.preBlend?.rows.length ?? 0) / CELLS_PER_LINE)

export const tailMm = (sheet: BatchSheetView, cellMm: number): number =>
  TAIL_MM.gap +
  (sheet.preBlend === null ? 0 : TAIL_MM.preBlendTitle + cellLines(sheet) * cellMm + TAIL_MM.gap) +
  TAIL_MM.mixing +
  TAIL_MM.signatures +
  (sheet.cautions.length + 1) * TAIL_MM.line

type PreBlend = NonNullable<BatchSheetView['preBlend']>

type CellBox = { readonly xMm: number; readonly topMm: number; readonly widthMm: number; readonly heightMm: number }

const drawCell = (doc: Pdf, row: PreBlend['rows'][number], box: CellBox): void => {
  const { xMm: x, topMm: top, widthMm: width, heightMm: height } = box
  const roomy = height >= PRE_BLEND_CELL_MM.large
  const lotMm = roomy ? 8 : 5.2
  const blankMm = roomy ? 9 : 6.4
  drawBox(doc, box)
  drawLotNumber(doc, row.lotNumber, { xMm: x + 1, topMm: top + 0.8, widthMm: 10, heightMm: lotMm }, roomy ? 18 : 14)
  const nameLeft = row.lotNumber === '' ? x + 1 : x + 12
  const name = { xMm: nameLeft, topMm: top + 0.6, widthMm: x + width - nameLeft - 0.7, heightMm: lotMm + 0.4, maxLines: 2, smallest: 7 }
  drawInBox(doc, row.name, name, { size: roomy ? 11 : 9 })
  drawFigure(doc, row.grams, { xMm: x + 1, baselineMm: top + height - (roomy ? 5.4 : 4), maxMm: 19 }, { size: 14, bold: true })
  drawLine(doc, row.allowed, { xMm: x + 1, baselineMm: top + height - 1, maxMm: 18.5 }, { size: roomy ? 10 : 9 })
  drawBox(doc, { xMm: x + 20, topMm: top + height - blankMm - 0.8, widthMm: width - 26, heightMm: blankMm })
  drawBox(doc, { xMm: x + width - 5, topMm: top + height - blankMm / 2 - 2.8, widthMm: 4, heightMm: 4 }, 1)
}

const drawPreBlend = (doc: Pdf, preBlend: PreBlend, top: number, cellMm: number): number => {
  drawPictogram(doc, 'table-scale', { xMm: left, topMm: top + 0.2, sizeMm: 4.6 })
  drawLine(doc, preBlend.title, { xMm: left + 6.5, baselineMm: top + 4, maxMm: 130 }, { size: 13, bold: true })
  drawFigure(doc, preBlend.totalGrams, { xMm: right - 38, baselineMm: top + 4, maxMm: 38, align: 'right' }, { size: 13, bold: true })
  const widthMm = PAGE.contentMm / CELLS_PER_LINE
  preBlend.rows.forEach((row, i) => {
    const topMm = top + TAIL_MM.preBlendTitle + Math.floor(i / CELLS_PER_LINE) * cellMm
    drawCell(doc, row, { xMm: left + (i % CELLS_PER_LINE) * widthMm, topMm, widthMm, heightMm: cellMm })
  })
  return TAIL_MM.preBlendTitle + Math.ceil(preBlend.rows.length / CELLS_PER_LINE) * cellMm + TAIL_MM.gap
}

/** A word with a line to write on, up to `endMm`. */
const drawBlank = (doc: Pdf, word: string, startMm: number, endMm: number, baseline: number): void => {
  const width = drawLine(doc, word, { xMm: startMm, baselineMm: baseline, maxMm: (endMm - startMm) * 0.7 }, { size: 11 })
  drawRule(doc, { xMm: startMm + width + 1, yMm: baseline + 0.8 }, { xMm: endMm, yMm: baseline + 0.8 })
}

const drawMixing = (doc: Pdf, sheet: BatchSheetView, top: number): number => {
  const baseline = top + 5.6
  const [mix = '', start = '', end = ''] = sheet.mixing
  drawPictogram(doc, 'clock', { xMm: left, topMm: top + 0.8, sizeMm: 5.8 })
  drawLine(doc, mix, { xMm: left + 7, baselineMm: baseline, maxMm: 37 }, { size: 12, bold: true })
  drawBlank(doc, start, left + 46, left + 72, baseline)
  drawBlank(doc, end, left + 74, left + 100, baseline)
  drawPictogram(doc, 'sealed-bag', { xMm: left + 103, topMm: top + 0.8, sizeMm: 5.8 })
  drawInBox(
    doc,
    sheet.bags,
    { xMm: left + 110, topMm: top, widthMm: 40, heightMm: TAIL_MM.mixing, maxLines: sheet.bags.length > 24 ? 2 : 1, smallest: 9 },
    { size: 12, bold: true },
  )
  drawLine(doc, sheet.columns['tally'] ?? '', { xMm: left + 152, baselineMm: top + 3.4, maxMm: 23 }, { size: 9 })
  drawBox(doc, { xMm: left + 151, topMm: top + 0.6, widthMm: 25, heightMm: TAIL_MM.mixing - 1.2 })
  return TAIL_MM.mixing
}

const drawSignatures = (doc: Pdf, sheet: BatchSheetView, top: number): number => {
  const baseline = top + 5.4
  const [weighed = '', checked = ''] = sheet.signatures
  drawBox(doc, { xMm: left, topMm: top + 1.8, widthMm: 4, heightMm: 4 }, 1)
  drawLine(doc, sheet.columns['keptSample'] ?? '', { xMm: left + 5.5, baselineMm: baseline, maxMm: 30 }, { size: 11 })
  drawBlank(doc, sheet.columns['place'] ?? '', left + 37, left + 66, baseline)
  drawBlank(doc, weighed, left + 69, left + 121, baseline)
  drawBlank(doc, checked, left + 124, right, baseline)
  return TAIL_MM.signatures
}

const drawCautions = (doc: Pdf, sheet: BatchSheetView, top: number): void => {
  drawRule(doc, { xMm: left, yMm: top }, { xMm: right, yMm: top })
  const pictograms = ['mask-and-gloves', 'hand-stop']
  pictograms.forEach((name, i) => drawPictogram(doc, name, { xMm: left + i * 8, topMm: top + 1, sizeMm: 7 }))
  drawPictogram(doc, 'phone', { xMm: left + 16, topMm: top + TAIL_MM.line * 2 + 0.4, sizeMm: 4.4 })
  const last = `${sheet.powerCut}: ${sheet.phone}`
  ;[...sheet.cautions, last].forEach((text, i, all) =>
    drawLine(
      doc,
      text,
      { xMm: left + (i === all.length - 1 ? 21.5 : 17.5), baselineMm: top + (i + 1) * TAIL_MM.line - 0.6, maxMm: PAGE.contentMm - 22 },
      { size: 11, bold: i === all.length - 1 },
    ),
  )
}

/** Everything below the table: pre-blend, mixing, bags, sample, signatures, cautions. */
export const drawTail = (doc: Pdf, sheet: BatchSheetView, startMm: number, cellMm: number): void => {
  let top = startMm + TAIL_MM.gap
  if (sheet.preBlend !== null) top += drawPreBlend(doc, sheet.preBlend, top, cellMm)
  top += drawMixing(doc, sheet, top)
  top += drawSignatures(doc, sheet, top)
  drawCautions(doc, sheet, top)
}

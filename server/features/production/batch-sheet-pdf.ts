import type { BatchSheetView } from '#contract/production'
import { bytesOf, openDocument, PAGE, type Pdf } from '#platform/documents/page'
import { drawRule } from '#platform/documents/shapes'
import { drawLine } from '#platform/documents/text'
import { columnLeftMm, COLUMNS_MM, drawBefore, drawColumnHeads, drawFeed, drawTitle, HEAD_MM } from './sheet-head.js'
import { sheetPages } from './sheet-pages.js'
import { drawRow, ROW_MM } from './sheet-rows.js'
import { drawTail, PRE_BLEND_CELL_MM, tailMm } from './sheet-tail.js'

const pagesWith = (sheet: BatchSheetView, cellMm: number): number[] => {
  const titleMm = HEAD_MM.strip + HEAD_MM.title
  return sheetPages(sheet.rows.length, {
    page: PAGE.heightMm - PAGE.topMm - PAGE.bottomMm,
    firstHead: titleMm + HEAD_MM.feed + (sheet.medicine.medicated ? HEAD_MM.medicineBar : 0) + HEAD_MM.before + HEAD_MM.columns,
    nextHead: titleMm + (sheet.medicine.medicated ? HEAD_MM.feed + HEAD_MM.medicineBar : 0) + HEAD_MM.columns + HEAD_MM.carried,
    row: ROW_MM,
    tail: tailMm(sheet, cellMm),
  })
}

type Layout = { readonly counts: readonly number[]; readonly cellMm: number }

/** Large pre-blend cells wherever they do not cost a page. */
const layoutOf = (sheet: BatchSheetView): Layout => {
  const { small, large } = PRE_BLEND_CELL_MM
  const [tight, roomy] = [pagesWith(sheet, small), pagesWith(sheet, large)]
  return roomy.length <= tight.length ? { counts: roomy, cellMm: large } : { counts: tight, cellMm: small }
}

const drawCarried = (doc: Pdf, sheet: BatchSheetView, running: string, fromPage: number, top: number): number => {
  const baselineMm = top + 4.8
  drawLine(doc, `${sheet.columns['carried'] ?? ''} ${fromPage}`, { xMm: columnLeftMm('name'), baselineMm, maxMm: 80 }, { size: 12 })
  const maxMm = COLUMNS_MM.running - 1.5
  drawLine(doc, running, { xMm: columnLeftMm('running'), baselineMm, maxMm, align: 'right' }, { size: 14, bold: true })
  const yMm = top + HEAD_MM.carried
  drawRule(doc, { xMm: PAGE.leftMm, yMm }, { xMm: PAGE.leftMm + PAGE.contentMm, yMm })
  return HEAD_MM.carried
}

type Part = { readonly cellMm: number; readonly page: number; readonly pages: number; readonly start: number; readonly count: number }

const drawPage = (doc: Pdf, sheet: BatchSheetView, { page, pages, start, count, cellMm }: Part): void => {
  doc.addPage()
  let top = PAGE.topMm + drawTitle(doc, sheet, page, pages)
  if (page === 1 || sheet.medicine.medicated) top += drawFeed(doc, sheet, top)
  if (page === 1) top += drawBefore(doc, sheet, top)
  top += drawColumnHeads(doc, sheet, top)
  if (page > 1) top += drawCarried(doc, sheet, sheet.rows[start - 1]?.running ?? '', page - 1, top)
  for (const row of sheet.rows.slice(start, start + count)) {
    drawRow(doc, row, top)
    top += ROW_MM
  }
  if (page === pages) drawTail(doc, sheet, top, cellMm)
}

/** The printed batch sheet: A4 portrait, black only; one page up to 12 rows and 5 pre-blend lines. `at` is its date of making. */
export const batchSheetPdf = async (sheet: BatchSheetView, at: Date): Promise<Uint8Array> => {
  const doc = openDocument({ title: `${sheet.title} ${sheet.batchNumber}`, author: sheet.mill, language: sheet.language, at })
  const { counts, cellMm } = layoutOf(sheet)
  let start = 0
  counts.forEach((count, i) => {
    drawPage(doc, sheet, { page: i + 1, pages: counts.length, start, count, cellMm })
    start += count
  })
  return bytesOf(doc)
}

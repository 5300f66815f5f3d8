import type { LotPapersView } from '#contract/lots'
import { bytesOf, mm, openDocument, PAGE, type Pdf } from '#platform/documents/page'
import { drawQr } from '#platform/documents/qr'
import { drawBox, drawPictogram, drawRule, drawStrip } from '#platform/documents/shapes'
import { drawInBox, drawLine, widthMm, wrap } from '#platform/documents/text'

const left = PAGE.leftMm
const right = PAGE.leftMm + PAGE.contentMm
const POINTS_PER_MM = 72 / 25.4
// Digits of Andika stand 0.72 em high and are of equal width.
const DIGIT_EM = 0.72
const NUMBER_MM = 120
const QR_MM = 28

/** The number of the lot, 120 mm high or as high as the page and its width leave room for. Gives the height used. */
const drawNumber = (doc: Pdf, number: string, top: number, roomMm: number): number => {
  const asked = (Math.min(NUMBER_MM, roomMm) / DIGIT_EM) * POINTS_PER_MM
  const width = widthMm(doc, number, { size: asked, bold: true })
  const size = Math.min(asked, (asked * (PAGE.contentMm - 6)) / width)
  const heightMm = (size * DIGIT_EM) / POINTS_PER_MM
  const at = { xMm: left, baselineMm: top + heightMm, maxMm: PAGE.contentMm, align: 'center' as const }
  drawLine(doc, number, at, { size, bold: true })
  return heightMm
}

/** Tick in a circle, or an octagon with a bar: shape before colour. */
const drawShape = (doc: Pdf, shape: LotPapersView['card']['stateShape'], x: number, top: number, sizeMm: number): void => {
  const [cx, cy, r] = [mm(x + sizeMm / 2), mm(top + sizeMm / 2), mm(sizeMm / 2)]
  doc.lineWidth(2.5)
  if (shape === 'hold') return drawPictogram(doc, 'hand-stop', { xMm: x, topMm: top, sizeMm })
  if (shape === 'pass') {
    doc.circle(cx, cy, r).stroke('black')
    doc
      .moveTo(cx - r * 0.5, cy)
      .lineTo(cx - r * 0.1, cy + r * 0.4)
      .lineTo(cx + r * 0.55, cy - r * 0.45)
      .stroke('black')
    return
  }
  const corners = Array.from({ length: 8 }, (_, i): [number, number] => {
    const angle = Math.PI / 8 + (i * Math.PI) / 4
    return [cx + r * Math.cos(angle), cy + r * Math.sin(angle)]
  })
  doc.polygon(...corners).stroke('black')
  doc
    .moveTo(cx - r * 0.5, cy)
    .lineTo(cx + r * 0.5, cy)
    .stroke('black')
}

const BAR_MM = 17
const drawBar = (doc: Pdf, text: string, top: number): void => {
  doc.rect(mm(left), mm(top), mm(PAGE.contentMm), mm(BAR_MM)).fill('black')
  drawPictogram(doc, 'hand-stop', { xMm: left + 3, topMm: top + 2, sizeMm: 13, color: 'white' })
  drawLine(doc, text, { xMm: left + 20, baselineMm: top + 11.6, maxMm: PAGE.contentMm - 24 }, { size: 30, bold: true, color: 'white' })
}

const ROW_MM = 15
const drawRows = (doc: Pdf, rows: LotPapersView['card']['rows'], top: number): void => {
  const half = PAGE.contentMm / 2
  rows.forEach(({ name, value }, i) => {
    const [x, y] = [left + (i % 2) * half, top + Math.floor(i / 2) * ROW_MM]
    drawLine(doc, name, { xMm: x, baselineMm: y + 4, maxMm: half - 4 }, { size: 11 })
    drawLine(doc, value, { xMm: x, baselineMm: y + 11.5, maxMm: half - 4 }, { size: 18, bold: true })
  })
}

const WARNING = { size: 14, bold: true } as const
const WARNING_MM = 6.8
const warningLines = (doc: Pdf, warnings: readonly string[]): { readonly text: string; readonly first: boolean }[] =>
  warnings.flatMap((warning) => wrap(doc, warning, WARNING, PAGE.contentMm - 10).map((text, i) => ({ text, first: i === 0 })))

const drawWarnings = (doc: Pdf, lines: ReturnType<typeof warningLines>, top: number): void => {
  lines.forEach(({ text, first }, i) => {
    const y = top + i * WARNING_MM
    if (first) drawLine(doc, '!', { xMm: left + 2, baselineMm: y + 5.2 }, { size: 18, bold: true })
    drawLine(doc, text, { xMm: left + 9, baselineMm: y + 5, maxMm: PAGE.contentMm - 10 }, WARNING)
  })
}

// So many leave the number 30 mm high.
const MOST_WARNING_LINES = 11

const fitted = (lines: ReturnType<typeof warningLines>): ReturnType<typeof warningLines> => {
  const room = MOST_WARNING_LINES - lines.filter(({ first }) => first).length
  const more = lines.filter(({ first }) => !first).slice(0, Math.max(0, room))
  return lines.filter((line) => line.first || more.includes(line))
}

const HEAD_MM = 45
const NAME_MM = 25
const FOOT_MM = 10

/** The card of a stack: A4 portrait, black only, its number found by eye from across the store. */
const drawCard = (doc: Pdf, papers: LotPapersView): void => {
  const { card } = papers
  doc.addPage()
  let top: number = PAGE.topMm
  drawStrip(doc, top)
  drawLine(doc, card.title, { xMm: left, baselineMm: top + 10, maxMm: 90 }, { size: 20, bold: true })
  drawLine(doc, papers.mill, { xMm: left, baselineMm: top + 16, maxMm: PAGE.contentMm - QR_MM - 8 }, { size: 11 })
  drawLine(doc, papers.printed, { xMm: left, baselineMm: top + 21.5, maxMm: PAGE.contentMm - QR_MM - 8 }, { size: 11 })
  drawShape(doc, card.stateShape, left, top + 26, 12)
  drawLine(doc, card.state, { xMm: left + 16, baselineMm: top + 35, maxMm: 110 }, { size: 26, bold: true })
  drawQr(doc, papers.qr, { xMm: right - QR_MM, topMm: top + 4, sizeMm: QR_MM })
  drawLine(
    doc,
    `${papers.lotWord} ${papers.lotNumber}`,
    { xMm: right - QR_MM, baselineMm: top + 37.5, maxMm: QR_MM, align: 'center' },
    { size: 12 },
  )
  top += HEAD_MM
  // Every warning is printed: the number makes room for them, not the other way round; of very many the later ones keep their first line.
  const lines = fitted(warningLines(doc, card.warnings))
  const barMm = card.bar === '' ? 0 : BAR_MM + 4
  const belowMm = NAME_MM + barMm + Math.ceil(card.rows.length / 2) * ROW_MM + lines.length * WARNING_MM + 3
  const foot = PAGE.heightMm - PAGE.bottomMm - FOOT_MM
  top += drawNumber(doc, String(papers.lotNumber), top, foot - top - belowMm - 6) + 6
  drawPictogram(doc, papers.pictogram, { xMm: left, topMm: top, sizeMm: 20 })
  const name = { xMm: left + 25, topMm: top, widthMm: PAGE.contentMm - 25, heightMm: 20, maxLines: 2, smallest: 16 }
  drawInBox(doc, papers.ingredient, name, { size: 30, bold: true })
  top += NAME_MM
  if (card.bar !== '') drawBar(doc, card.bar, top)
  top += barMm
  drawRows(doc, card.rows, top)
  top += Math.ceil(card.rows.length / 2) * ROW_MM
  drawWarnings(doc, lines, top)
  drawRule(doc, { xMm: left, yMm: foot }, { xMm: right, yMm: foot })
  drawPictogram(doc, 'dry-store', { xMm: left, topMm: foot + 1, sizeMm: 9 })
  drawLine(doc, card.keep, { xMm: left + 12, baselineMm: foot + 7, maxMm: PAGE.contentMm - 12 }, { size: 13 })
}

export const stackCardPdf = async (papers: LotPapersView, at: Date): Promise<Uint8Array> => {
  const title = `${papers.card.title} ${papers.lotNumber}`
  const doc = openDocument({ title, author: papers.mill, language: papers.language, at })
  drawCard(doc, papers)
  return bytesOf(doc)
}

const LABEL = { widthMm: 86, heightMm: 130, gapMm: 4, padMm: 4 } as const
const LABEL_QR_MM = 24

const drawBlanks = (doc: Pdf, blanks: readonly string[], x: number, top: number, inner: number): void => {
  blanks.forEach((blank, i) => {
    const y = top + i * 9
    const wide = drawLine(doc, blank, { xMm: x, baselineMm: y + 5, maxMm: inner / 2 }, { size: 11 })
    drawRule(doc, { xMm: x + wide + 2, yMm: y + 6 }, { xMm: x + inner, yMm: y + 6 })
  })
}

/** One label, to be cut out and tied to its sample bag. */
const drawLabel = (doc: Pdf, papers: LotPapersView, kind: string, x: number): void => {
  const { label } = papers
  const top: number = PAGE.topMm
  drawBox(doc, { xMm: x, topMm: top, widthMm: LABEL.widthMm, heightMm: LABEL.heightMm }, 1)
  const [inner, at] = [LABEL.widthMm - 2 * LABEL.padMm, x + LABEL.padMm]
  const beside = inner - LABEL_QR_MM - 4
  drawLine(doc, label.title, { xMm: at, baselineMm: top + 8.5, maxMm: beside }, { size: 16, bold: true })
  drawLine(doc, kind, { xMm: at, baselineMm: top + 14.5, maxMm: beside }, { size: 13 })
  drawLine(doc, papers.lotWord, { xMm: at, baselineMm: top + 29, maxMm: 18 }, { size: 14 })
  drawLine(doc, String(papers.lotNumber), { xMm: at + 18, baselineMm: top + 29, maxMm: beside - 18 }, { size: 40, bold: true })
  drawQr(doc, papers.qr, { xMm: at + inner - LABEL_QR_MM, topMm: top + LABEL.padMm + 1, sizeMm: LABEL_QR_MM })
  drawPictogram(doc, papers.pictogram, { xMm: at, topMm: top + 33, sizeMm: 11 })
  const name = { xMm: at + 14, topMm: top + 33, widthMm: inner - 14, heightMm: 11, maxLines: 2, smallest: 10 }
  drawInBox(doc, papers.ingredient, name, { size: 15, bold: true })
  label.rows.forEach(({ name: what, value }, i) => {
    const y = top + 50.5 + i * 6
    drawLine(doc, what, { xMm: at, baselineMm: y, maxMm: 24 }, { size: 11 })
    drawLine(doc, value, { xMm: at + 26, baselineMm: y, maxMm: inner - 26 }, { size: 12, bold: true })
  })
  wrap(doc, label.how, { size: 10 }, inner).forEach((line, i) =>
    drawLine(doc, line, { xMm: at, baselineMm: top + 76 + i * 4.4, maxMm: inner }, { size: 10 }),
  )
  drawBlanks(doc, label.blanks, at, top + LABEL.heightMm - 29, inner)
}

/** Two labels beside each other, for the sample to test and the one to keep. */
export const sampleLabelPdf = async (papers: LotPapersView, at: Date): Promise<Uint8Array> => {
  const title = `${papers.label.title} ${papers.lotNumber}`
  const doc = openDocument({ title, author: papers.mill, language: papers.language, at })
  doc.addPage()
  papers.label.kinds.forEach((kind, i) => drawLabel(doc, papers, kind, left + i * (LABEL.widthMm + LABEL.gapMm)))
  return bytesOf(doc)
}

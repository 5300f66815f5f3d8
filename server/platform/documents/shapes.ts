import { PICTOGRAM_LINE, PICTOGRAM_SIZE, PICTOGRAMS } from '#core/pictogram/paths'
import { mm, PAGE, type Pdf } from './page.js'

type Paths = Readonly<Record<string, readonly string[]>>

/** A pictogram of the mill's set in a square; an unknown name draws nothing, the word beside it stays. */
export const drawPictogram = (
  doc: Pdf,
  name: string,
  at: { readonly xMm: number; readonly topMm: number; readonly sizeMm: number; readonly color?: string },
): void => {
  const paths = (PICTOGRAMS as Paths)[name]
  if (paths === undefined) return
  doc
    .save()
    .translate(mm(at.xMm), mm(at.topMm))
    .scale(mm(at.sizeMm) / PICTOGRAM_SIZE)
  doc.lineWidth(PICTOGRAM_LINE).lineCap('round').lineJoin('round')
  for (const path of paths) doc.path(path).stroke(at.color ?? 'black')
  doc.restore()
}

/** A thin outline, rules of half a point as on all prints. */
export const drawBox = (
  doc: Pdf,
  box: { readonly xMm: number; readonly topMm: number; readonly widthMm: number; readonly heightMm: number },
  lineWidth = 0.5,
): void => {
  doc.lineWidth(lineWidth).rect(mm(box.xMm), mm(box.topMm), mm(box.widthMm), mm(box.heightMm)).stroke('black')
}

export const drawRule = (
  doc: Pdf,
  from: { readonly xMm: number; readonly yMm: number },
  to: { readonly xMm: number; readonly yMm: number },
  lineWidth = 0.5,
): void => {
  doc.lineWidth(lineWidth).moveTo(mm(from.xMm), mm(from.yMm)).lineTo(mm(to.xMm), mm(to.yMm)).stroke('black')
}

// The woven strip of the house: blocks of 24, 8, 16 and 8 px (96 a inch); on paper its four colours are four hatchings.
const PX = 25.4 / 96
const WEAVE = [
  { widthPx: 24, slantPx: 3 },
  { widthPx: 8, slantPx: 0 },
  { widthPx: 16, slantPx: -3 },
  { widthPx: 8, slantPx: null },
] as const
const STRIP_PX = 4
const THREAD_PX = 2

const drawThreads = (doc: Pdf, leftMm: number, topMm: number, widthMm: number, slantPx: number): void => {
  const threads = Math.floor(widthMm / (THREAD_PX * PX))
  for (let i = 0; i < threads; i += 1) {
    const xMm = leftMm + (i + 0.5) * THREAD_PX * PX
    drawRule(doc, { xMm: xMm + (slantPx * PX) / 2, yMm: topMm }, { xMm: xMm - (slantPx * PX) / 2, yMm: topMm + STRIP_PX * PX })
  }
}

/** The woven strip over the whole width between the margins, black only. */
export const drawStrip = (doc: Pdf, topMm: number): void => {
  const right = PAGE.leftMm + PAGE.contentMm
  let xMm: number = PAGE.leftMm
  for (let i = 0; xMm < right - 0.01; i += 1) {
    const block = WEAVE[i % WEAVE.length] ?? WEAVE[0]
    const widthMm = Math.min(block.widthPx * PX, right - xMm)
    if (block.slantPx !== null) drawThreads(doc, xMm, topMm, widthMm, block.slantPx)
    xMm += widthMm
  }
  for (const yMm of [topMm, topMm + STRIP_PX * PX]) drawRule(doc, { xMm: PAGE.leftMm, yMm }, { xMm: right, yMm })
}

import bwipjs from 'bwip-js/node'
import { mm, type Pdf } from './page.js'

type Code = { readonly pixs: readonly number[]; readonly pixx: number; readonly pixy: number }

/** The modules of a QR code, row by row, true is black; error correction M (a smudge of 15 % can be read through). */
export const qrModules = (text: string): readonly (readonly boolean[])[] => {
  // The typing knows only the drawing overloads of `raw`; with options alone it gives the modules themselves.
  const [code] = (bwipjs.raw as unknown as (options: object) => Code[])({ bcid: 'qrcode', text, eclevel: 'M' })
  if (code === undefined) throw new Error('The QR code could not be made')
  return Array.from({ length: code.pixy }, (_, y) => code.pixs.slice(y * code.pixx, (y + 1) * code.pixx).map((pixel) => pixel === 1))
}

// Neighbouring black modules become one bar, so that no hairline shows between them.
const runsOf = (row: readonly boolean[]): { start: number; length: number }[] => {
  const runs: { start: number; length: number }[] = []
  row.forEach((black, x) => {
    const last = runs.at(-1)
    if (!black) return
    if (last !== undefined && last.start + last.length === x) last.length += 1
    else runs.push({ start: x, length: 1 })
  })
  return runs
}

/** Draws a QR code as vectors in a square; the caller leaves four modules of white around it (ISO/IEC 18004). */
export const drawQr = (doc: Pdf, text: string, at: { readonly xMm: number; readonly topMm: number; readonly sizeMm: number }): void => {
  const rows = qrModules(text)
  const module = at.sizeMm / rows.length
  rows.forEach((row, y) => {
    for (const { start, length } of runsOf(row))
      doc.rect(mm(at.xMm + start * module), mm(at.topMm + y * module), mm(length * module), mm(module))
  })
  doc.fill('black')
}

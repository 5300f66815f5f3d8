import { mm, type Pdf } from './page.js'

export type TextStyle = { readonly size: number; readonly bold?: boolean; readonly color?: string }
export type Align = 'left' | 'center' | 'right'
type Place = { readonly xMm: number; readonly baselineMm: number }

const use = (doc: Pdf, { size, bold = false }: TextStyle) => doc.font(bold ? 'bold' : 'regular').fontSize(size)

/** Width of a text in millimetres. */
export const widthMm = (doc: Pdf, text: string, style: TextStyle): number => (use(doc, style).widthOfString(text) * 25.4) / 72

/** The largest size, from `style.size` down to `smallest` in half points, at which the text is at most `maxMm` wide. */
export const fittingSize = (doc: Pdf, text: string, style: TextStyle, maxMm: number, smallest = 9): number => {
  // Widths grow with the size, so one measurement tells all.
  const width = widthMm(doc, text, style)
  if (width <= maxMm) return style.size
  return Math.max(smallest, Math.floor(((style.size * maxMm) / width) * 2) / 2)
}

// The font's own line is 1.6 em, so every line is placed by its baseline instead.
const put = (doc: Pdf, text: string, x: number, baseline: number) =>
  doc.text(text, x, baseline, { lineBreak: false, baseline: 'alphabetic' })

/** One line, shrunk to `maxMm` when that is given; returns its width in millimetres. */
export const drawLine = (
  doc: Pdf,
  text: string,
  at: Place & { readonly maxMm?: number; readonly align?: Align },
  style: TextStyle,
): number => {
  const asked = widthMm(doc, text, style)
  const size = at.maxMm === undefined || asked <= at.maxMm ? style.size : Math.max(7, Math.floor(((style.size * at.maxMm) / asked) * 2) / 2)
  const width = (asked * size) / style.size
  use(doc, { ...style, size }).fillColor(style.color ?? 'black')
  const free = (at.maxMm ?? width) - width
  const shift = at.align === 'right' ? free : at.align === 'center' ? free / 2 : 0
  put(doc, text, mm(at.xMm + shift), mm(at.baselineMm))
  return width
}

/** Breaks a text at its spaces into lines of at most `maxMm`; a longer word stands alone. */
export const wrap = (doc: Pdf, text: string, style: TextStyle, maxMm: number): string[] => {
  const lines: string[] = []
  for (const word of text.split(' ')) {
    const last = lines.at(-1)
    if (last !== undefined && widthMm(doc, `${last} ${word}`, style) <= maxMm) lines[lines.length - 1] = `${last} ${word}`
    else lines.push(word)
  }
  return lines
}

/** A text in at most `maxLines` lines in a box, vertically centred, as large as it fits from `style.size` down to `smallest`. */
export const drawInBox = (
  doc: Pdf,
  text: string,
  box: {
    readonly xMm: number
    readonly topMm: number
    readonly widthMm: number
    readonly heightMm: number
    readonly maxLines: number
    readonly smallest?: number
  },
  style: TextStyle,
): void => {
  const smallest = box.smallest ?? 9
  let size = style.size
  let lines = wrap(doc, text, style, box.widthMm)
  const tooMuch = () => lines.length > box.maxLines || lines.some((line) => widthMm(doc, line, { ...style, size }) > box.widthMm)
  while (size > smallest && tooMuch()) {
    size -= 0.5
    lines = wrap(doc, text, { ...style, size }, box.widthMm)
  }
  // What still does not fit is cut: the number of the lot leads, not the name.
  if (lines.length > box.maxLines) lines = [...lines.slice(0, box.maxLines - 1), `${lines[box.maxLines - 1] ?? ''}\u2026`]
  const lineMm = (size * 1.15 * 25.4) / 72
  const firstMm = box.topMm + box.heightMm / 2 - ((lines.length - 1) * lineMm) / 2 + (size * 0.36 * 25.4) / 72
  lines.forEach((line, i) =>
    drawLine(doc, line, { xMm: box.xMm, baselineMm: firstMm + i * lineMm, maxMm: box.widthMm }, { ...style, size }),
  )
}

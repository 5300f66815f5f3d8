/** How rows of one height spread over pages. All heights in millimetres. */
export type SheetHeights = {
  readonly page: number
  readonly firstHead: number
  readonly nextHead: number
  readonly row: number
  readonly tail: number
}

/**
 * How many rows stand on each page: all on one when they fit with the tail (pre-blend, signatures), else pages filled in
 * turn, the last of which always holds at least one row before the tail. No row splits.
 */
export const sheetPages = (rows: number, { page, firstHead, nextHead, row, tail }: SheetHeights): number[] => {
  const pages: number[] = []
  let left = rows
  for (let head = firstHead; ; head = nextHead) {
    if (left * row + head + tail <= page) return [...pages, left]
    const held = Math.max(1, Math.min(Math.floor((page - head) / row), left - 1))
    if (left <= 1) return [...pages, left]
    pages.push(held)
    left -= held
  }
}

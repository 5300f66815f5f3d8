import { meanings, plainWords } from './words.js'

/** How a laboratory may head each column, in English and Swahili. */
const HEADERS = {
  lot: ['lot number', 'lot no', 'lot', 'namba ya mzigo', 'mzigo'],
  analyte: ['analyte', 'analysis', 'kipimo'],
  value: ['value', 'result', 'thamani', 'tokeo', 'matokeo'],
  unit: ['unit', 'kizio'],
  method: ['method', 'njia', 'njia ya kupima'],
  laboratory: ['laboratory', 'lab', 'maabara'],
  measuredOn: ['date measured', 'measured on', 'date', 'tarehe ya kupima', 'imepimwa tarehe', 'tarehe'],
  note: ['note', 'notes', 'maelezo'],
  sd: ['sd', 'standard deviation', 'mkengeuko'],
} as const

export type Column = keyof typeof HEADERS
export const COLUMNS = Object.keys(HEADERS) as readonly Column[]
export const NEEDED_COLUMNS: readonly Column[] = COLUMNS.filter((column) => column !== 'note' && column !== 'sd')
const BY_HEADER = meanings(HEADERS)

/** The column under this heading, in either language. */
export const columnOf = (header: string): Column | undefined => BY_HEADER.get(plainWords(header))

export type Heading = {
  /** Where each column stands; the first one where a heading stands twice. */
  readonly at: ReadonlyMap<Column, number>
  readonly missing: readonly Column[]
  readonly twice: readonly Column[]
  /** Headings that mean nothing here, as they are written. */
  readonly ignored: readonly string[]
  /** How many cells a row may have. */
  readonly width: number
}

/** What the first line of a file says about the columns below it. */
export const readHeading = (cells: readonly string[]): Heading => {
  const at = new Map<Column, number>()
  const twice: Column[] = []
  const ignored: string[] = []
  cells.forEach((cell, index) => {
    const column = columnOf(cell)
    if (column === undefined) {
      if (cell.trim() !== '') ignored.push(cell.trim())
    } else if (at.has(column)) twice.push(column)
    else at.set(column, index)
  })
  return { at, twice, ignored, width: cells.length, missing: NEEDED_COLUMNS.filter((column) => !at.has(column)) }
}

export const SEPARATORS = [',', ';', '\t'] as const
export type Separator = (typeof SEPARATORS)[number]

/** The sign between cells: the one with which the first line names the most columns. `split` reads one line with such a sign. */
export const findSeparator = (split: (separator: Separator) => readonly string[]): Separator => {
  const named = (separator: Separator): number => split(separator).filter((cell) => columnOf(cell) !== undefined).length
  return SEPARATORS.reduce((best, separator) => (named(separator) > named(best) ? separator : best))
}

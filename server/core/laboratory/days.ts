/** In which order a file writes day and month, by its dates that can be read in one way only. */
export type DayOrder = 'day-first' | 'month-first' | 'both' | 'none'
export type ReadDay = { readonly kind: 'day'; readonly day: string } | { readonly kind: 'wrong'; readonly code: 'not-a-day' | 'which-day' }

const YEAR_FIRST = /^(\d{4})-(\d{2})-(\d{2})$/
const YEAR_LAST = /^(\d{1,2})([./-])(\d{1,2})\2(\d{4})$/

const partsOf = (cell: string): { first: number; second: number; year: number } | undefined => {
  const found = YEAR_LAST.exec(cell.trim())
  return found === null ? undefined : { first: Number(found[1]), second: Number(found[3]), year: Number(found[4]) }
}

export const dayOrderOf = (cells: Iterable<string>): DayOrder => {
  const seen = new Set<'day-first' | 'month-first'>()
  for (const cell of cells) {
    const parts = partsOf(cell)
    if (parts !== undefined && parts.first > 12 && parts.second <= 12) seen.add('day-first')
    if (parts !== undefined && parts.second > 12 && parts.first <= 12) seen.add('month-first')
  }
  if (seen.size === 2) return 'both'
  return [...seen][0] ?? 'none'
}

/** The calendar's day, or undefined where there is none (30 February). */
const calendarDay = (year: number, month: number, day: number): string | undefined => {
  const iso = `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(day).padStart(2, '0')}`
  const time = Date.parse(`${iso}T00:00:00Z`)
  return Number.isNaN(time) || new Date(time).toISOString().slice(0, 10) !== iso ? undefined : iso
}

const known = (day: string | undefined): ReadDay => (day === undefined ? { kind: 'wrong', code: 'not-a-day' } : { kind: 'day', day })

/**
 * Reads 2026-08-04, and 4/8/2026 with the day first as it is written here, where the file itself shows that order; a date that
 * could be two days is refused, never guessed.
 */
export const readDay = (cell: string, order: DayOrder): ReadDay => {
  const iso = YEAR_FIRST.exec(cell.trim())
  if (iso !== null) return known(calendarDay(Number(iso[1]), Number(iso[2]), Number(iso[3])))
  const parts = partsOf(cell)
  if (parts === undefined) return { kind: 'wrong', code: 'not-a-day' }
  const { first, second, year } = parts
  if (first <= 12 && second <= 12 && first !== second && order !== 'day-first') return { kind: 'wrong', code: 'which-day' }
  return known(calendarDay(year, second, first))
}

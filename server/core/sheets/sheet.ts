/** What may be written on a blank sheet while there is no power: a delivery, the weighing of one load, bags that were handed over. */
export const SHEET_KINDS = ['receiving', 'weighing', 'collection'] as const
export type SheetKind = (typeof SHEET_KINDS)[number]

const LETTERS = { receiving: 'R', weighing: 'W', collection: 'C' } as const satisfies Record<SheetKind, string>
/** Four digits are read aloud in one breath; a fifth is written when the ten-thousandth sheet is printed. */
const DIGITS = 4

/** "R-0012": the letter says which pile the sheet belongs to, the number alone names it. */
export const sheetCode = (kind: SheetKind, number: number): string => `${LETTERS[kind]}-${String(number).padStart(DIGITS, '0')}`

/** Reads a code or its bare number as people type it ("r 12", "R-0012", "12"); null when it is neither. */
export const readSheetCode = (typed: string): { readonly kind: SheetKind | null; readonly number: number } | null => {
  const [, letter = '', digits = ''] = /^([RWC]?)[\s-]*(\d{1,9})$/i.exec(typed.trim()) ?? []
  const number = Number(digits)
  if (digits === '' || number === 0) return null
  return { kind: SHEET_KINDS.find((kind) => LETTERS[kind] === letter.toUpperCase()) ?? null, number }
}

const MINUTE_MS = 60_000
const DAY_MS = 24 * 60 * MINUTE_MS
/** A clock that is a few minutes ahead is no lie. */
const AHEAD_MS = 5 * MINUTE_MS
/** What is entered later than this is still taken, and told to the manager. Common practice, no source. */
export const LATE_DAYS = 7

export type SheetTimes = { readonly printedAt: Date; readonly happenedAt: Date; readonly enteredAt: Date }
export type TimesJudged =
  | { readonly kind: 'good' }
  | { readonly kind: 'late'; readonly days: number }
  | { readonly kind: 'in-the-future' }
  | { readonly kind: 'before-printed' }

/**
 * Whether a sheet can have been filled in at that moment: not before there was such a sheet, not after now. People write hours and
 * minutes, so the minute of printing counts whole. `days` are full days between the event and its entry.
 */
export const judgeTimes = ({ printedAt, happenedAt, enteredAt }: SheetTimes): TimesJudged => {
  if (happenedAt.getTime() > enteredAt.getTime() + AHEAD_MS) return { kind: 'in-the-future' }
  if (happenedAt.getTime() < Math.floor(printedAt.getTime() / MINUTE_MS) * MINUTE_MS) return { kind: 'before-printed' }
  const late = enteredAt.getTime() - happenedAt.getTime()
  return late > LATE_DAYS * DAY_MS ? { kind: 'late', days: Math.floor(late / DAY_MS) } : { kind: 'good' }
}

/** A blank sheet may lie in its drawer so long before somebody counts the pile. Common practice, no source. */
export const DRAWER_DAYS = 14
/** One that was passed over is asked for sooner: a later sheet of its kind was used already. Common practice, no source. */
export const SKIPPED_DAYS = 2

export type OpenSheet = { readonly kind: SheetKind; readonly number: number; readonly printedAt: Date }
/** By kind, the highest number that was entered, and when. */
export type LastEntered = ReadonlyMap<SheetKind, { readonly number: number; readonly enteredAt: Date }>

/** Sheets that somebody should look for: they lie long, or a later one of their kind was entered some days ago and they were not. */
export const sheetsToFind = <S extends OpenSheet>(open: readonly S[], last: LastEntered, now: Date): S[] => {
  const daysSince = (at: Date): number => (now.getTime() - at.getTime()) / DAY_MS
  return open.filter(({ kind, number, printedAt }) => {
    const later = last.get(kind)
    const skipped = later !== undefined && later.number > number && daysSince(later.enteredAt) > SKIPPED_DAYS
    return skipped || daysSince(printedAt) > DRAWER_DAYS
  })
}

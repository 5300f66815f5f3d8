import { MILL_TIME_ZONE, momentOf } from './dates'

const two = (figure: number): string => String(figure).padStart(2, '0')

/** "2026-08-04T10:30" of an instant on the mill's clock, as a field for date and time shows it. */
export const clockOf = (iso: string, timeZone = MILL_TIME_ZONE): string => {
  const { year, month, day, hour, minute } = momentOf(iso, timeZone)
  return `${year}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}`
}

/** The instant that "2026-08-04T10:30" means on the mill's clock, wherever the reader's device stands; undefined when it is none. */
export const instantOf = (clock: string, timeZone = MILL_TIME_ZONE): string | undefined => {
  const read = Date.parse(`${clock}:00.000Z`)
  if (!/^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}$/.test(clock) || Number.isNaN(read)) return undefined
  // How far the mill's clock is ahead there; asked once more at the moment found, for zones that change their clocks.
  const ahead = (at: number): number => Date.parse(`${clockOf(new Date(at).toISOString(), timeZone)}:00.000Z`) - at
  const guess = read - ahead(read)
  return new Date(read - ahead(guess)).toISOString()
}

import type { Language } from '../i18n/language'

/** The mill's own time zone, wherever the reader's device stands. */
export const MILL_TIME_ZONE = 'Africa/Nairobi'

const WEEKDAYS: Readonly<Record<Language, readonly string[]>> = {
  en: ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'],
  sw: ['Jumapili', 'Jumatatu', 'Jumanne', 'Jumatano', 'Alhamisi', 'Ijumaa', 'Jumamosi'],
}
const MONTHS: Readonly<Record<Language, readonly string[]>> = {
  en: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
  sw: ['Jan', 'Feb', 'Mac', 'Apr', 'Mei', 'Jun', 'Jul', 'Ago', 'Sep', 'Okt', 'Nov', 'Des'],
}

export type Moment = { readonly year: number; readonly month: number; readonly day: number; readonly hour: number; readonly minute: number }

/** Reads a calendar day ("2026-08-04") as it stands, an instant in the mill's time zone. */
export const momentOf = (iso: string, timeZone = MILL_TIME_ZONE): Moment => {
  if (/^\d{4}-\d{2}-\d{2}$/.test(iso)) {
    const [year = 0, month = 1, day = 1] = iso.split('-').map(Number)
    return { year, month, day, hour: 0, minute: 0 }
  }
  const format = new Intl.DateTimeFormat('en-GB', {
    timeZone,
    year: 'numeric',
    month: 'numeric',
    day: 'numeric',
    hour: 'numeric',
    minute: 'numeric',
    hourCycle: 'h23',
  })
  const part = new Map(format.formatToParts(new Date(iso)).map(({ type, value }) => [type, Number(value)]))
  const read = (type: Intl.DateTimeFormatPartTypes): number => part.get(type) ?? 0
  return { year: read('year'), month: read('month'), day: read('day'), hour: read('hour'), minute: read('minute') }
}

const two = (figure: number): string => String(figure).padStart(2, '0')
const weekdayOf = ({ year, month, day }: Moment): number => new Date(Date.UTC(year, month - 1, day)).getUTCDay()

/** "2026-08-04" of an instant, in the mill's time zone. */
export const isoDay = (iso: string, timeZone = MILL_TIME_ZONE): string => {
  const { year, month, day } = momentOf(iso, timeZone)
  return `${year}-${two(month)}-${two(day)}`
}

/** "Tue 4 Aug 2026", "Jumanne 4 Ago 2026". */
export const formatDate = (iso: string, language: Language, timeZone = MILL_TIME_ZONE): string => {
  const moment = momentOf(iso, timeZone)
  return `${WEEKDAYS[language][weekdayOf(moment)]} ${moment.day} ${MONTHS[language][moment.month - 1]} ${moment.year}`
}

/** "4 Aug", for marks beside a value. */
export const formatShortDate = (iso: string, language: Language, timeZone = MILL_TIME_ZONE): string => {
  const { day, month } = momentOf(iso, timeZone)
  return `${day} ${MONTHS[language][month - 1]}`
}

/** "Fri 7", for a row of days to pick from. */
export const formatPickDay = (iso: string, language: Language, timeZone = MILL_TIME_ZONE): string => {
  const moment = momentOf(iso, timeZone)
  return `${WEEKDAYS[language][weekdayOf(moment)]} ${moment.day}`
}

/** "14:05", 24 hours. */
export const formatTime = (iso: string, timeZone = MILL_TIME_ZONE): string => {
  const { hour, minute } = momentOf(iso, timeZone)
  return `${two(hour)}:${two(minute)}`
}

/** The `count` days that follow `iso` (itself included) as "2026-08-04". */
export const daysFrom = (iso: string, count: number, timeZone = MILL_TIME_ZONE): readonly string[] => {
  const { year, month, day } = momentOf(iso, timeZone)
  return Array.from({ length: count }, (_, ahead) => new Date(Date.UTC(year, month - 1, day + ahead)).toISOString().slice(0, 10))
}

/** Which part of the day an hour belongs to. Common usage, no source. */
const partOfDay = (hour: number): string => {
  if (hour < 4) return 'usiku'
  if (hour < 6) return 'alfajiri'
  if (hour < 12) return 'asubuhi'
  if (hour < 16) return 'mchana'
  return hour < 19 ? 'jioni' : 'usiku'
}

/** Hours as spoken in Swahili, counted from sunrise: 14:00 is "saa 8 mchana", 08:30 "saa 2:30 asubuhi". */
export const spokenTime = (iso: string, timeZone = MILL_TIME_ZONE): string => {
  const { hour, minute } = momentOf(iso, timeZone)
  const counted = ((hour + 5) % 12) + 1
  return `saa ${counted}${minute === 0 ? '' : `:${two(minute)}`} ${partOfDay(hour)}`
}

/** On members' pages: "14:00 (saa 8 mchana)" in Swahili, "14:00" in English. */
export const formatMemberTime = (iso: string, language: Language, timeZone = MILL_TIME_ZONE): string =>
  language === 'sw' ? `${formatTime(iso, timeZone)} (${spokenTime(iso, timeZone)})` : formatTime(iso, timeZone)

import { DateTime } from 'luxon'

const MONTHS = {
  en: ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'],
  sw: ['Jan', 'Feb', 'Mac', 'Apr', 'Mei', 'Jun', 'Jul', 'Ago', 'Sep', 'Okt', 'Nov', 'Des'],
} as const
const DAYS = {
  en: ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'],
  sw: ['Jumatatu', 'Jumanne', 'Jumatano', 'Alhamisi', 'Ijumaa', 'Jumamosi', 'Jumapili'],
} as const

type Language = 'en' | 'sw'

const dayOf = (local: DateTime, language: Language): string =>
  `${DAYS[language][local.weekday - 1] ?? ''} ${local.day} ${MONTHS[language][local.month - 1] ?? ''} ${local.year}`

/** A moment as prints write it where the mill stands: "Tue 4 Aug 2026, 08:00". */
export const writtenAt = (at: Date, timeZone: string, language: Language): string => {
  const local = DateTime.fromJSDate(at, { zone: timeZone })
  return `${dayOf(local, language)}, ${local.toFormat('HH:mm')}`
}

/** A plain date (YYYY-MM-DD) as prints write it: "Tue 4 Aug 2026". */
export const writtenDay = (day: string, language: Language): string => dayOf(DateTime.fromISO(day, { zone: 'utc' }), language)

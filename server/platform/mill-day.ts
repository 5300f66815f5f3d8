import { DateTime } from 'luxon'
import type { Db, Tx } from '#platform/database/client'

/** The calendar day of a moment where the mill stands, YYYY-MM-DD. */
export const dayAt = (moment: Date, timeZone: string): string => {
  const day = DateTime.fromJSDate(moment, { zone: timeZone }).toISODate()
  if (day === null) throw new Error(`${timeZone} is no time zone`)
  return day
}

/** Today where the mill stands, YYYY-MM-DD. */
export const loadToday = async (db: Db | Tx, now: Date): Promise<string> => {
  const { timeZone } = await db.mill.findUniqueOrThrow({ where: { id: 1 }, select: { timeZone: true } })
  return dayAt(now, timeZone)
}

/** A plain date as the database keeps it: midnight UTC of that day. */
export const dateOf = (day: string): Date => new Date(`${day}T00:00:00.000Z`)
export const plainDate = (date: Date): string => date.toISOString().slice(0, 10)

/** Whole days from one plain date to another; negative when the second is earlier. */
export const daysBetween = (from: string, to: string): number => Math.round((dateOf(to).getTime() - dateOf(from).getTime()) / 86_400_000)
export const addDays = (day: string, days: number): string => plainDate(new Date(dateOf(day).getTime() + days * 86_400_000))

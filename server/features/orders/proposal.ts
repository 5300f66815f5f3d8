import { formatKg, grams, type Grams } from '#core/quantity/mass'
import { addDays, dateOf } from '#platform/mill-day'

/** A week of feed at a time keeps it fresh in a warm climate. Common practice, no source. */
export const PROPOSED_DAYS = 7
/** Collection days offered; the mill is closed on Sundays. Common practice, no source. */
const DUE_DAYS = 6
const SUNDAY = 0

/** A week of feed in whole bags, at least one: kilograms as text. */
export const proposedKg = (birds: number, gramsPerBirdDay: number, bag: Grams): string => {
  const bags = Math.max(1, Math.ceil((birds * gramsPerBirdDay * PROPOSED_DAYS) / bag))
  return formatKg(grams(bags * bag))
}

/** The next days on which an order placed today can be collected, from tomorrow. */
export const nextDueDays = (today: string): string[] => {
  const days: string[] = []
  for (let ahead = 1; days.length < DUE_DAYS; ahead += 1) {
    const day = addDays(today, ahead)
    if (dateOf(day).getUTCDay() !== SUNDAY) days.push(day)
  }
  return days
}

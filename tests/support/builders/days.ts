import { dayAt } from '#platform/mill-day'

/** So many days from today, YYYY-MM-DD, by the calendar of the mill: it is a day ahead of UTC in the evening. */
export const dayFromNow = (days: number): string => dayAt(new Date(Date.now() + days * 86_400_000), 'Africa/Nairobi')

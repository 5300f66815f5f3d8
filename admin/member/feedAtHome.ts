import { isoDay } from '../format/dates'

type CollectedOrder = { readonly flockId: string; readonly kg: string; readonly status: string; readonly collectedAt: string | null }
type OpenOrder = CollectedOrder & { readonly number: number; readonly dueOn: string }
type Eaters = { readonly id: string; readonly birds: number; readonly gramsPerBirdDay: number | null }

/** How long feed lasts, worked out from what was collected; nothing in a hen house is weighed, so it is never more than "about". */
export type FeedAtHome<Order> =
  | { readonly kind: 'unknown'; readonly why: 'no-intake' | 'nothing-collected' }
  | {
      readonly kind: 'worked-out'
      readonly last: Order
      /** The day on which it ends, YYYY-MM-DD. */
      readonly until: string
      /** Whole days from now; under 0: it ended before today. */
      readonly daysLeft: number
      /** With the next order that is not collected yet. */
      readonly next?: { readonly number: number; readonly until: string }
    }

const DAY_MS = 86_400_000
/** Mash keeps about two months (as the mill's limit for ordering ahead); what was collected earlier says nothing of today. */
const LOOK_BACK_DAYS = 60
const OPEN: ReadonlySet<string> = new Set(['ordered', 'planned', 'being-mixed', 'ready'])

/** A day of the calendar as an instant in the middle of it, so that no time zone moves it to another day. */
const noonOf = (day: string): number => Date.parse(`${day}T09:00:00Z`)

/** Kilograms that a flock eats a day, or null when the mill has no figure for its stage. */
export const kgPerDay = ({ birds, gramsPerBirdDay }: Eaters): number | null =>
  gramsPerBirdDay === null || gramsPerBirdDay <= 0 ? null : (birds * gramsPerBirdDay) / 1000

/** Each collection begins where the one before ends, or on its own day if the house was empty by then. */
const endAfter = (endMs: number, startMs: number, days: number): number => Math.max(endMs, startMs) + days * DAY_MS

/** What one flock has by the collected orders of the last 60 days and what its birds eat a day (the mill's figure for their stage). */
export const feedAtHome = <Order extends OpenOrder>(flock: Eaters, orders: readonly Order[], now: Date): FeedAtHome<Order> => {
  const daily = kgPerDay(flock)
  if (daily === null) return { kind: 'unknown', why: 'no-intake' }
  const own = orders.filter(({ flockId }) => flockId === flock.id)
  const since = new Date(now.getTime() - LOOK_BACK_DAYS * DAY_MS).toISOString()
  const collected = own
    .flatMap((order) => (order.collectedAt !== null && order.collectedAt >= since ? [{ order, at: order.collectedAt }] : []))
    .sort((a, b) => a.at.localeCompare(b.at))
  const last = collected.at(-1)
  if (!last) return { kind: 'unknown', why: 'nothing-collected' }
  const daysOf = ({ kg }: Order): number => Number(kg) / daily
  const end = collected.reduce((endMs, { order, at }) => endAfter(endMs, Date.parse(at), daysOf(order)), 0)
  const [next] = own.filter(({ status }) => OPEN.has(status)).sort((a, b) => a.dueOn.localeCompare(b.dueOn))
  const begins = next && Math.max(noonOf(next.dueOn), now.getTime())
  return {
    kind: 'worked-out',
    last: last.order,
    until: isoDay(new Date(end).toISOString()),
    daysLeft: Math.floor((end - now.getTime()) / DAY_MS),
    ...(next && begins
      ? { next: { number: next.number, until: isoDay(new Date(endAfter(end, begins, daysOf(next))).toISOString()) } }
      : {}),
  }
}

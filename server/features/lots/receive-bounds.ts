import { MAX_DELIVERY_KG } from '#contract/quantities'
import type { ReceiveLotBody } from '#contract/lots'
import { MillError, type FieldError } from '#core/errors'
import { dayAt } from '#platform/mill-day'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Common practice, no source: what lies longer in a store is no longer entered as a delivery. */
const OLDEST_DELIVERY_DAYS = 730
/** Common practice, no source: no label of a feed material promises more; salt and limestone carry none. */
const LONGEST_SHELF_YEARS = 10

const fault = (path: string, code: string, message: string, facts = {}): FieldError => ({ path, code, message, facts })

const receivedFaults = ({ receivedAt }: ReceiveLotBody, now: Date): FieldError[] => {
  const at = new Date(receivedAt).getTime()
  // A clock that is a little fast is no reason to stand at the gate.
  if (at > now.getTime() + HOUR_MS) return [fault('receivedAt', 'in-the-future', 'this moment has not come yet')]
  return at < now.getTime() - OLDEST_DELIVERY_DAYS * DAY_MS
    ? [fault('receivedAt', 'too-long-ago', `at most ${OLDEST_DELIVERY_DAYS} days ago`, { days: OLDEST_DELIVERY_DAYS })]
    : []
}

const yearsLater = (day: string, years: number): string => `${Number(day.slice(0, 4)) + years}${day.slice(4)}`

const expiryFaults = ({ receivedAt, expiresOn }: ReceiveLotBody, timeZone: string): FieldError[] => {
  if (expiresOn === null) return []
  const delivered = dayAt(new Date(receivedAt), timeZone)
  if (expiresOn < delivered) return [fault('expiresOn', 'before-delivery', 'not before the day of delivery', { delivered })]
  const latest = yearsLater(delivered, LONGEST_SHELF_YEARS)
  return expiresOn > latest ? [fault('expiresOn', 'too-far-off', `not after ${latest}`, { latest })] : []
}

const amountFaults = ({ netKg }: ReceiveLotBody): FieldError[] =>
  Number(netKg) > MAX_DELIVERY_KG
    ? [fault('netKg', 'above-possible', `at most ${MAX_DELIVERY_KG} kg`, { max: MAX_DELIVERY_KG, unit: 'kg' })]
    : []

/** Refuses what no delivery to this mill can be: its moment, its weight, its date of expiry, medicine without a label. All at once. */
export const checkDelivery = (input: ReceiveLotBody, { now, timeZone }: { readonly now: Date; readonly timeZone: string }): void => {
  const undeclared =
    input.medication !== null && !input.medicationDeclared
      ? [fault('medicationDeclared', 'contradiction', 'a lot with medicine has a label that declares it')]
      : []
  const faults = [...receivedFaults(input, now), ...amountFaults(input), ...expiryFaults(input, timeZone), ...undeclared]
  if (faults.length > 0) throw new MillError('bad-input', {}, faults)
}

import { MAX_DELIVERY_KG } from '#contract/quantities'
import type { ReceiveLotBody } from '#contract/lots'
import { MillError, type FieldError } from '#core/errors'
import { formatKg, grams, readKg, type Grams } from '#core/quantity/mass'
import type { Keeping } from '#core/receiving/keeping'
import { netOf } from '#core/receiving/weights'
import { addDays, dayAt } from '#platform/mill-day'

const HOUR_MS = 3_600_000
const DAY_MS = 24 * HOUR_MS
/** Common practice, no source: what lies longer in a store is no longer entered as a delivery. */
const OLDEST_DELIVERY_DAYS = 730
/** Common practice, no source: no label of a feed material promises more; salt and limestone carry none. */
const LONGEST_SHELF_YEARS = 10

/** A mass of the wire, whose form the contract has checked. */
export const massOf = (kg: string): Grams => readKg(kg) ?? grams(Number.NaN)

type Known = { readonly now: Date; readonly timeZone: string; readonly keeping: Keeping | null }

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

/** A printed date may be later than our own rule, the keeper's guess may not; wet grain goes mouldy whatever is printed. */
const tooLate = ({ expiresOn, expiryOnLabel }: ReceiveLotBody, keeping: Keeping | null, delivered: string): FieldError[] => {
  if (expiresOn === null || keeping === null || (expiryOnLabel && keeping.rule !== 'wet-grain')) return []
  const latest = addDays(delivered, keeping.days)
  return expiresOn > latest ? [fault('expiresOn', 'later-than-keeps', `not after ${latest}`, { latest })] : []
}

const expiryFaults = (input: ReceiveLotBody, { timeZone, keeping }: Known): FieldError[] => {
  const { receivedAt, expiresOn } = input
  if (expiresOn === null) return []
  const delivered = dayAt(new Date(receivedAt), timeZone)
  if (expiresOn < delivered) return [fault('expiresOn', 'before-delivery', 'not before the day of delivery', { delivered })]
  const latest = yearsLater(delivered, LONGEST_SHELF_YEARS)
  return expiresOn > latest ? [fault('expiresOn', 'too-far-off', `not after ${latest}`, { latest })] : tooLate(input, keeping, delivered)
}

/** The scale's own figures must give the net weight that is entered, else one of them was misread. */
const weighingFaults = ({ weighing, bags, netKg }: ReceiveLotBody): FieldError[] => {
  if (weighing === null) return []
  const [gross, tare] = [massOf(weighing.grossKg), massOf(weighing.tareKg)]
  if (tare >= gross) return [fault('weighing.tareKg', 'tare-above-gross', 'less than the gross weight', { grossKg: weighing.grossKg })]
  if (weighing.emptyBagG !== null && bags === null) return [fault('bags', 'empty', 'how many bags, since one was weighed empty')]
  const net = netOf({ gross, tare, bags, emptyBagG: weighing.emptyBagG })
  if (net <= 0) return [fault('weighing.emptyBagG', 'bags-above-net', 'the empty bags weigh more than is left', { bags: bags ?? 0 })]
  return net === massOf(netKg)
    ? []
    : [fault('netKg', 'not-as-weighed', `gross less tare less bags is ${formatKg(net)} kg`, { expectedKg: formatKg(net) })]
}

/** More than twice or less than half of what the note says is a slip of the pen; common practice, no source. */
const NOTE_FACTOR = 2
const noteFaults = ({ noteKg, netKg }: ReceiveLotBody): FieldError[] => {
  if (noteKg === null) return []
  const ratio = massOf(noteKg) / massOf(netKg)
  return ratio > NOTE_FACTOR || ratio < 1 / NOTE_FACTOR
    ? [fault('noteKg', 'not-this-delivery', 'between half and twice the net weight', { netKg })]
    : []
}

/** The driest lot against the wettest terms costs 100/60 of this, which a price can still hold. */
const MOST_AGREED_PRICE = 500_000
/** Corrected to an agreed moisture nothing can be paid before a moisture was found. */
const termsFaults = ({ agreedMoisturePct, intakeMoisturePct, pricePerKg }: ReceiveLotBody): FieldError[] => {
  if (agreedMoisturePct === null) return []
  return [
    ...((intakeMoisturePct ?? 0) > 0
      ? []
      : [fault('intakeMoisturePct', 'moisture-needed', 'the terms are of an agreed moisture, so it must be measured')]),
    ...(Number(pricePerKg) > MOST_AGREED_PRICE
      ? [fault('pricePerKg', 'above-possible', `at most ${MOST_AGREED_PRICE}`, { max: MOST_AGREED_PRICE, unit: '' })]
      : []),
  ]
}

const looksFaults = ({ looks }: ReceiveLotBody): FieldError[] =>
  looks.flatMap(({ point }, index) =>
    looks.findIndex((other) => other.point === point) < index ? [fault(`looks.${index}.point`, 'repeated', 'once a point')] : [],
  )

const amountFaults = ({ netKg }: ReceiveLotBody): FieldError[] =>
  Number(netKg) > MAX_DELIVERY_KG
    ? [fault('netKg', 'above-possible', `at most ${MAX_DELIVERY_KG} kg`, { max: MAX_DELIVERY_KG, unit: 'kg' })]
    : []

/** Refuses what no delivery to this mill can be: its moment, weights, terms, date of expiry, medicine without a label. All at once. */
export const checkDelivery = (input: ReceiveLotBody, known: Known): void => {
  const undeclared =
    input.medication !== null && !input.medicationDeclared
      ? [fault('medicationDeclared', 'contradiction', 'a lot with medicine has a label that declares it')]
      : []
  const faults = [
    ...receivedFaults(input, known.now),
    ...amountFaults(input),
    ...weighingFaults(input),
    ...noteFaults(input),
    ...termsFaults(input),
    ...expiryFaults(input, known),
    ...looksFaults(input),
    ...undeclared,
  ]
  if (faults.length > 0) throw new MillError('bad-input', {}, faults)
}

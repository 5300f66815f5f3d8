import { checkAssay } from '#core/composition/analytes'
import type { BookValue } from '#core/composition/book'
import type { FieldError } from '#core/errors'
import type { RecordAssaysBody } from '#contract/laboratory'

/** What a result is judged by, wherever it came from. */
export type Checked = Pick<RecordAssaysBody['results'][number], 'analyte' | 'value' | 'unit' | 'confirmed' | 'measuredOn'>

const MESSAGES = {
  'unit-wrong': 'another unit',
  'analyte-unknown': 'the laboratory does not measure this',
  'not-a-number': 'a number',
  negative: 'not below 0',
  'above-possible': 'more than there can be',
} as const

const round = (value: number): number => Number(value.toFixed(4))

/** What is wrong with one result: a unit that does not fit, a value that cannot be, or an unusual one that nobody confirmed. */
const resultFault = (result: Checked, path: string, book: readonly BookValue[]): FieldError[] => {
  const check = checkAssay(result, book)
  if (check.kind === 'ok') return []
  if (check.kind === 'error' && check.code === 'unit-wrong')
    return [{ path: `${path}.unit`, code: 'unit', message: `in ${check.facts['allowed'] ?? 'another unit'}`, facts: check.facts }]
  if (check.kind === 'error') return [{ path: `${path}.value`, code: check.code, message: MESSAGES[check.code], facts: check.facts }]
  if (result.confirmed) return []
  const [middle, spread] = [Number(check.facts['bookValue']), Number(check.facts['allowed'])]
  const usual = { usualLow: round(Math.max(0, middle - spread)), usualHigh: round(middle + spread) }
  const message = `usually ${usual.usualLow} to ${usual.usualHigh}; look again and confirm`
  return [{ path: `${path}.value`, code: 'implausible', message, facts: { ...check.facts, ...usual } }]
}

/** Common practice, no source: a supplier's sample is drawn at most this long before the lorry comes. */
export const SAMPLED_BEFORE_DELIVERY_DAYS = 30
const DAY_MS = 86_400_000

type Days = { readonly today: string; readonly receivedOn: string }

const dayFault = ({ measuredOn }: Checked, path: string, { today, receivedOn }: Days): FieldError[] => {
  if (measuredOn > today) return [{ path, code: 'in-the-future', message: 'this day has not come yet' }]
  const days = SAMPLED_BEFORE_DELIVERY_DAYS
  if (Date.parse(measuredOn) >= Date.parse(receivedOn) - days * DAY_MS) return []
  return [
    { path, code: 'before-the-lot', message: `at most ${days} days before the delivery of ${receivedOn}`, facts: { days, receivedOn } },
  ]
}

/** The faults of one result, each with the field it stands in. Both days are the mill's dates. */
export const resultFaults = (
  result: Checked,
  path: string,
  { book, ...days }: { readonly book: readonly BookValue[] } & Days,
): FieldError[] => [...resultFault(result, path, book), ...dayFault(result, `${path}.measuredOn`, days)]

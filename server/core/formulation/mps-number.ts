import { FIGURE_RULE, isFigure } from './figure-size.js'
import { MpsFault, type MpsField } from './mps-lines.js'

/** Decimal figures only: `Number` would take hexadecimal ones and `Infinity` too. Old programs write the exponent with a D. */
const DECIMAL = /^[+-]?(?<digits>\d+\.?\d*|\.\d+)(?:[eEdD][+-]?\d+)?$/

/** The figure in a field; `hint` says what else could have been meant. */
export function numberOf({ text, at }: MpsField, line: number, hint = ''): number {
  if (text === '') throw new MpsFault(line, at, 'a number is missing')
  const digits = DECIMAL.exec(text)?.groups?.['digits']
  if (digits === undefined) throw new MpsFault(line, at, `'${text}' is not a number${hint}`)
  const value = Number(text.replace(/d/i, 'e'))
  if (!isFigure(value) || (value === 0 && /[1-9]/.test(digits))) throw new MpsFault(line, at, `'${text}' ${FIGURE_RULE}${hint}`)
  return value
}

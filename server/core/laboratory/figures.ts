import { ANALYTES, type AnalyteId, type AnalyteUnit } from '../composition/analytes.js'

/** Which sign parts the decimals in a file, by its figures that can be read in one way only. */
export type DecimalSign = 'point' | 'comma' | 'both' | 'none'
export type Figure =
  /** `text` is plain decimal text. */
  | { readonly kind: 'figure'; readonly text: string; readonly below: boolean }
  | { readonly kind: 'wrong'; readonly code: 'leading-sign' | 'not-a-number' | 'no-limit' | 'which-number' }

const GROUP_SPACES = /(?<=\d)[ \u00a0\u202f](?=\d{3}(\D|$))/g
/** At most so many digits as a number of ours can tell apart. */
const MOST_DIGITS = 15
/** A spreadsheet takes a cell that begins so for a formula; no figure of a laboratory does. */
const LEADING_SIGN = /^[=+\-@\u2212]/
const WORDS_FOR_BELOW = /^<?\s*(lod|loq|n\.?\s?d\.?|nil|trace|not detected|bdl)$/i

const bare = (cell: string): string => cell.trim().replace(/^<\s*/, '').replace(GROUP_SPACES, '')

/** "1,250" and "1.250": a thousand or one and a quarter. */
const THREE_BEHIND = /^[1-9]\d{0,2}([.,])\d{3}$/
const POINT = /^(\d*\.\d+|[1-9]\d{0,2}(,\d{3})+\.\d+|[1-9]\d{0,2}(,\d{3}){2,})$/
const COMMA = /^(\d*,\d+|[1-9]\d{0,2}(\.\d{3})+,\d+|[1-9]\d{0,2}(\.\d{3}){2,})$/

const signOf = (figure: string): 'point' | 'comma' | undefined => {
  if (THREE_BEHIND.test(figure)) return undefined
  if (POINT.test(figure)) return 'point'
  return COMMA.test(figure) ? 'comma' : undefined
}

export const decimalSignOf = (cells: Iterable<string>): DecimalSign => {
  const seen = new Set<'point' | 'comma'>()
  for (const cell of cells) {
    const sign = signOf(bare(cell))
    if (sign !== undefined) seen.add(sign)
  }
  if (seen.size === 2) return 'both'
  return [...seen][0] ?? 'none'
}

const readAs = (figure: string, sign: 'point' | 'comma'): string =>
  sign === 'point' ? figure.replaceAll(',', '') : figure.replaceAll('.', '').replace(',', '.')

/** Never a guess: a figure that could be two numbers is read by the sign that the rest of the file shows, or not at all. */
const withSign = (figure: string, sign: DecimalSign): string | undefined => {
  const own = signOf(figure)
  if (own !== undefined) return readAs(figure, own)
  if (sign === 'point' || sign === 'comma') return readAs(figure, sign)
  // nothing else in the file has decimals: the mill itself writes them behind a point
  return sign === 'none' && figure.includes('.') ? figure : undefined
}

/** Reads "8.4", "8,4", "1,250.5", "1 250,5" and "< 2" (below a detection limit of 2). */
export const readFigure = (cell: string, sign: DecimalSign): Figure => {
  const text = cell.trim()
  if (LEADING_SIGN.test(text)) return { kind: 'wrong', code: 'leading-sign' }
  if (WORDS_FOR_BELOW.test(text)) return { kind: 'wrong', code: 'no-limit' }
  const figure = bare(text)
  const known = /^\d+$/.test(figure) || THREE_BEHIND.test(figure) || signOf(figure) !== undefined
  if (!known || figure.replace(/\D/g, '').length > MOST_DIGITS) return { kind: 'wrong', code: 'not-a-number' }
  const plain = /^\d+$/.test(figure) ? figure : withSign(figure, sign)
  return plain === undefined ? { kind: 'wrong', code: 'which-number' } : { kind: 'figure', text: plain, below: text.startsWith('<') }
}

type Powers = Readonly<Record<string, number>>
/** By how many powers of ten a unit is moved into per cent, and into ug/kg: exact, for both are mass in mass. */
const INTO_PERCENT: Powers = { '%': 0, 'g/kg': -1, 'mg/kg': -4, ppm: -4 }
const INTO_UG_PER_KG: Powers = { 'ug/kg': 0, ppb: 0, 'mg/kg': 3, ppm: 3 }

const powersFor = (analyte: AnalyteId): Powers => (ANALYTES[analyte].units[0] === '%' ? INTO_PERCENT : INTO_UG_PER_KG)
export const unitsFor = (analyte: AnalyteId): readonly string[] => Object.keys(powersFor(analyte))

/** Both micro signs are written in laboratories; ours is the letter u. */
const plainUnit = (unit: string): string =>
  unit
    .replace(/\s/g, '')
    .replace(/[\u00b5\u03bc]/g, 'u')
    .toLowerCase()

export type Conversion = { readonly unit: AnalyteUnit; readonly convert: (figure: string) => number }

/** The unit in which the mill keeps this analyte, and how a figure gets there; undefined for a unit that does not fit. */
export const conversionOf = (analyte: AnalyteId, unit: string): Conversion | undefined => {
  const powers = powersFor(analyte)
  const written = plainUnit(unit)
  if (!Object.hasOwn(powers, written)) return undefined
  // the exponent is read together with the digits, so that nothing is rounded in between
  return { unit: ANALYTES[analyte].units[0], convert: (figure) => Number(`${figure}e${powers[written] ?? 0}`) }
}

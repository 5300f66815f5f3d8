import { once, oneSet, refuseFields, type MpsColumn, type MpsDraft, type Six } from './mps-draft.js'
import { MpsFault } from './mps-lines.js'
import { numberOf } from './mps-number.js'

/** Which ends each type of bound sets. */
const ENDS: Readonly<Record<string, readonly ('least' | 'most')[]>> = {
  LO: ['least'],
  LI: ['least'],
  MI: ['least'],
  UP: ['most'],
  UI: ['most'],
  PL: ['most'],
  FX: ['least', 'most'],
  FR: ['least', 'most'],
  BV: ['least', 'most'],
}
const NO_BOUND = '; no bound is written MI, PL or FR'

export function readBound(draft: MpsDraft, [type, set, name, value, ...rest]: Six, line: number): void {
  const kind = type.text.toUpperCase()
  const ends = Object.hasOwn(ENDS, kind) ? ENDS[kind] : undefined
  if (!ends) throw new MpsFault(line, type.at, `'${type.text}' is no type of bound that is read here`)
  oneSet(draft, 'BOUNDS', set, line)
  const column = draft.columns.get(name.text)
  if (!column) throw new MpsFault(line, name.at, name.text === '' ? 'the name of a column is missing' : `'${name.text}' is no column`)
  for (const end of ends)
    once(draft, ['BOUNDS', name.text, end], () => new MpsFault(line, name.at, `the ${end} of column '${name.text}' stands twice`))
  refuseFields(rest, line)
  // with a type that needs none a figure may stand, and counts for nothing
  const amount = ['FR', 'MI', 'PL', 'BV'].includes(kind) && value.text === '' ? 0 : numberOf(value, line, NO_BOUND)
  if (kind === 'UI' || kind === 'LI') column.whole = true
  setBound(column, kind, amount)
}

function setBound(column: MpsColumn, kind: string, amount: number): void {
  switch (kind) {
    case 'UP':
    case 'UI':
      column.hi = amount
      // below zero with no least of its own: a least of zero would leave nothing
      if (amount < 0 && column.lo === undefined) column.lo = null
      return
    case 'LO':
    case 'LI':
      column.lo = amount
      return
    case 'FX':
      column.lo = amount
      column.hi = amount
      return
    case 'FR':
      column.lo = null
      column.hi = null
      return
    case 'MI':
      column.lo = null
      return
    case 'PL':
      column.hi = null
      return
    case 'BV':
      column.binary = true
  }
}

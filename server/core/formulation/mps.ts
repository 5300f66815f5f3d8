import type { LinearModel, ModelRow, ModelVariable } from './linear-model.js'
import { mpsLines, type MpsLine } from './mps-lines.js'

/** A problem as MPS text (kind `mps`). `format`: `fixed MPS` or `free MPS`; left out, fixed where every line reads as that. */
export type MpsProblem = { readonly mps: string; readonly format?: string | undefined; readonly sense?: 'min' | 'max' | undefined }

export type MpsReading =
  { readonly kind: 'model'; readonly model: LinearModel } | { readonly kind: 'fault'; readonly line: number; readonly message: string }

class MpsFault extends Error {
  constructor(
    readonly line: number,
    message: string,
  ) {
    super(message)
  }
}

type Column = {
  readonly coefs: Map<string, number>
  readonly whole: boolean
  cost: number
  lo?: number | null
  hi?: number | null
  binary?: true
}
type Row = { readonly type: 'L' | 'G' | 'E'; rhs: number; range: number | null }
type Draft = {
  readonly rows: Map<string, Row>
  readonly columns: Map<string, Column>
  /** Rows of type N after the first count for nothing. */
  readonly unused: Set<string>
  objective: string | null
  offset: number
  sense: 'min' | 'max'
  whole: boolean
}

const SECTIONS = ['NAME', 'ROWS', 'COLUMNS', 'RHS', 'RANGES', 'BOUNDS', 'OBJSENSE', 'ENDATA'] as const
type Section = (typeof SECTIONS)[number]

function numberOf(text: string | undefined, line: number): number {
  const value = text === undefined || text === '' ? Number.NaN : Number(text.replace(/[dD]/, 'e'))
  if (Number.isNaN(value)) throw new MpsFault(line, `'${text ?? ''}' is not a number`)
  return value
}

function senseOf(word: string | undefined, line: number): 'min' | 'max' {
  const sense = (word ?? '').toUpperCase()
  if (sense.startsWith('MAX')) return 'max'
  if (sense.startsWith('MIN')) return 'min'
  throw new MpsFault(line, `'${word ?? ''}' is neither MIN nor MAX`)
}

function readRow(draft: Draft, { fields: [type = '', name = ''], number }: MpsLine): void {
  const kind = type.toUpperCase()
  if (name === '') throw new MpsFault(number, 'a row has no name')
  if (draft.rows.has(name) || draft.objective === name || draft.unused.has(name)) throw new MpsFault(number, `row '${name}' stands twice`)
  if (kind === 'N' && draft.objective === null) draft.objective = name
  else if (kind === 'N') draft.unused.add(name)
  else if (kind === 'L' || kind === 'G' || kind === 'E') draft.rows.set(name, { type: kind, rhs: 0, range: null })
  else throw new MpsFault(number, `'${type}' is no type of row`)
}

/** The pairs of row name and number of a data line; the second pair may be missing. */
const pairsOf = ({ fields, number }: MpsLine): (readonly [string, number])[] =>
  [2, 4].flatMap((at) => {
    const name = fields[at] ?? ''
    return name === '' ? [] : [[name, numberOf(fields[at + 1], number)] as const]
  })

function readColumn(draft: Draft, line: MpsLine): void {
  const name = line.fields[1] ?? ''
  if ((line.fields[2] ?? '') === "'MARKER'") {
    draft.whole = line.fields.some((field) => field.includes('INTORG'))
    return
  }
  if (name === '') throw new MpsFault(line.number, 'a column has no name')
  const column = draft.columns.get(name) ?? { coefs: new Map<string, number>(), whole: draft.whole, cost: 0 }
  draft.columns.set(name, column)
  for (const [row, value] of pairsOf(line)) {
    if (row === draft.objective) column.cost = value
    else if (draft.rows.has(row)) column.coefs.set(row, value)
    else if (!draft.unused.has(row)) throw new MpsFault(line.number, `'${row}' is no row`)
  }
}

function readSide(draft: Draft, line: MpsLine, set: (row: Row, value: number) => void): void {
  for (const [name, value] of pairsOf(line)) {
    const row = draft.rows.get(name)
    if (row) set(row, value)
    // a right-hand side of the objective is its constant with the sign turned
    else if (name === draft.objective) draft.offset = -value
    else if (!draft.unused.has(name)) throw new MpsFault(line.number, `'${name}' is no row`)
  }
}

function readBound(draft: Draft, { fields: [type = '', , name = '', value], number }: MpsLine): void {
  const column = draft.columns.get(name)
  if (!column) throw new MpsFault(number, `'${name}' is no column`)
  const amount = (): number => numberOf(value, number)
  switch (type.toUpperCase()) {
    case 'UP':
    case 'UI':
      column.hi = amount()
      // below zero with no least of its own: a least of zero would leave nothing
      if (column.hi < 0 && column.lo === undefined) column.lo = null
      break
    case 'LO':
    case 'LI':
      column.lo = amount()
      break
    case 'FX':
      column.lo = amount()
      column.hi = column.lo
      break
    case 'FR':
      column.lo = null
      column.hi = null
      break
    case 'MI':
      column.lo = null
      break
    case 'PL':
      column.hi = null
      break
    case 'BV':
      column.binary = true
      break
    default:
      throw new MpsFault(number, `'${type}' is no type of bound that is read here`)
  }
  if (['UI', 'LI'].includes(type.toUpperCase())) draft.columns.set(name, { ...column, whole: true })
}

function readData(draft: Draft, section: Section, line: MpsLine): void {
  switch (section) {
    case 'ROWS':
      return readRow(draft, line)
    case 'COLUMNS':
      return readColumn(draft, line)
    case 'RHS':
      return readSide(draft, line, (row, value) => {
        row.rhs = value
      })
    case 'RANGES':
      return readSide(draft, line, (row, value) => {
        row.range = value
      })
    case 'BOUNDS':
      return readBound(draft, line)
    case 'OBJSENSE':
      draft.sense = senseOf(
        line.fields.find((field) => field !== ''),
        line.number,
      )
      return
    case 'NAME':
    case 'ENDATA':
      throw new MpsFault(line.number, `there is no data in ${section}`)
  }
}

/** A range opens a row on its other side; on an equality its sign says to which. */
function sidesOf({ type, rhs, range }: Row): { readonly lo: number | null; readonly hi: number | null } {
  const width = range === null ? null : Math.abs(range)
  switch (type) {
    case 'L':
      return { lo: width === null ? null : rhs - width, hi: rhs }
    case 'G':
      return { lo: rhs, hi: width === null ? null : rhs + width }
    case 'E':
      return { lo: rhs + Math.min(0, range ?? 0), hi: rhs + Math.max(0, range ?? 0) }
  }
}

/** A whole number between markers with no bound of its own is 0 or 1 (SAS/OR user's guide, the MPS format, BOUNDS; HiGHS reads it so too). */
function variableOf(id: string, { whole, cost, lo, hi, binary }: Column): ModelVariable {
  if (binary) return { id, cost, lo: 0, hi: 1, type: 'B' }
  const open = lo === undefined && hi === undefined
  return { id, cost, lo: lo === undefined ? 0 : lo, hi: hi === undefined ? (whole && open ? 1 : null) : hi, type: whole ? 'I' : 'C' }
}

function modelOf(draft: Draft): LinearModel {
  const coefs = new Map<string, Record<string, number>>(
    [...draft.rows.keys()].map((id) => [id, Object.create(null) as Record<string, number>]),
  )
  for (const [id, column] of draft.columns)
    for (const [row, value] of column.coefs) {
      const own = coefs.get(row)
      if (own) own[id] = value
    }
  const rows = [...draft.rows].map(([id, row]): ModelRow => ({ id, coefs: coefs.get(id) ?? {}, ...sidesOf(row) }))
  return { sense: draft.sense, offset: draft.offset, vars: [...draft.columns].map(([id, column]) => variableOf(id, column)), rows }
}

function read({ mps, sense }: MpsProblem, fixed: boolean): LinearModel {
  const draft: Draft = {
    rows: new Map(),
    columns: new Map(),
    unused: new Set(),
    objective: null,
    offset: 0,
    sense: sense ?? 'min',
    whole: false,
  }
  let section: Section = 'NAME'
  let last = 0
  for (const line of mpsLines(mps, fixed)) {
    last = line.number
    if (!line.header) {
      readData(draft, section, line)
      continue
    }
    const name = (line.fields[0] ?? '').toUpperCase()
    const known = SECTIONS.find((one) => one === name)
    if (!known) throw new MpsFault(line.number, `'${line.fields[0] ?? ''}' is no section that is read here`)
    section = known
    if (known === 'OBJSENSE' && line.fields[1] !== undefined) draft.sense = senseOf(line.fields[1], line.number)
    if (known === 'ENDATA') {
      if (draft.columns.size === 0) throw new MpsFault(line.number, 'the text has no columns')
      return modelOf(draft)
    }
  }
  throw new MpsFault(last, 'the text ends without ENDATA')
}

function attempt(problem: MpsProblem, fixed: boolean): MpsReading {
  try {
    return { kind: 'model', model: read(problem, fixed) }
  } catch (error) {
    if (error instanceof MpsFault) return { kind: 'fault', line: error.line, message: error.message }
    throw error
  }
}

/**
 * Reads MPS text, fixed or free: sections NAME, OBJSENSE, ROWS, COLUMNS with integer markers, RHS (on the objective: its constant), RANGES and
 * BOUNDS. The first row of type N is the objective. Faults name the line.
 */
export function readMps(problem: MpsProblem): MpsReading {
  const format = (problem.format ?? '').toLowerCase()
  if (format.includes('free')) return attempt(problem, false)
  const fixed = attempt(problem, true)
  if (format.includes('fixed') || fixed.kind === 'model') return fixed
  const free = attempt(problem, false)
  return free.kind === 'model' ? free : fixed
}

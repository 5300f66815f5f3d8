import type { LinearModel, ModelRow, ModelVariable } from './linear-model.js'
import { emptyDraft, SECTIONS, type MpsColumn, type MpsDraft, type MpsRow, type MpsSection } from './mps-draft.js'
import { beginSection, readData } from './mps-sections.js'
import { MpsFault, mpsLines } from './mps-lines.js'

/** A problem as MPS text (kind `mps`). `format`: `fixed MPS` or `free MPS`; left out, fixed where every line reads as that. */
export type MpsProblem = { readonly mps: string; readonly format?: string | undefined; readonly sense?: 'min' | 'max' | undefined }

/** `field` in words, null where the fault is no single field's. */
export type MpsReading =
  | { readonly kind: 'model'; readonly model: LinearModel }
  | { readonly kind: 'fault'; readonly line: number; readonly field: string | null; readonly message: string }

/** A range opens a row on its other side; on an equality its sign says to which. */
function sidesOf({ type, rhs, range }: MpsRow): { readonly lo: number | null; readonly hi: number | null } {
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
function variableOf(id: string, { whole, cost, lo, hi, binary }: MpsColumn): ModelVariable {
  if (binary) return { id, cost, lo: 0, hi: 1, type: 'B' }
  const open = lo === undefined && hi === undefined
  return { id, cost, lo: lo === undefined ? 0 : lo, hi: hi === undefined ? (whole && open ? 1 : null) : hi, type: whole ? 'I' : 'C' }
}

function modelOf(draft: MpsDraft, sense: 'min' | 'max'): LinearModel {
  const coefs = new Map<string, Record<string, number>>(
    [...draft.rows.keys()].map((id) => [id, Object.create(null) as Record<string, number>]),
  )
  for (const [id, column] of draft.columns)
    for (const [row, value] of column.coefs) {
      const own = coefs.get(row)
      if (own) own[id] = value
    }
  const rows = [...draft.rows].map(([id, row]): ModelRow => ({ id, coefs: coefs.get(id) ?? {}, ...sidesOf(row) }))
  return { sense, offset: draft.offset, vars: [...draft.columns].map(([id, column]) => variableOf(id, column)), rows }
}

function read({ mps, sense }: MpsProblem, fixed: boolean): LinearModel {
  const draft = emptyDraft(fixed)
  draft.sense = sense ?? null
  let section: MpsSection = 'NAME'
  let last = 0
  for (const line of mpsLines(mps, fixed)) {
    last = line.number
    if (section === 'ENDATA') throw new MpsFault(last, null, 'there is text behind ENDATA')
    if (!line.header) {
      readData(draft, section, line)
      continue
    }
    const [word] = line.fields
    const known = SECTIONS.find((one) => one === word?.text.toUpperCase())
    if (!known) throw new MpsFault(last, word?.at ?? null, `'${word?.text ?? ''}' is no section that is read here`)
    beginSection(draft, known, line)
    section = known
  }
  if (section !== 'ENDATA') throw new MpsFault(last, null, 'the text ends without ENDATA')
  if (draft.whole) throw new MpsFault(last, null, "'INTORG' stands without 'INTEND'")
  if (draft.columns.size === 0) throw new MpsFault(last, null, 'the text has no columns')
  return modelOf(draft, draft.sense ?? 'min')
}

type Attempt = MpsReading & { readonly ofLayout?: boolean }

function attempt(problem: MpsProblem, fixed: boolean): Attempt {
  try {
    return { kind: 'model', model: read(problem, fixed) }
  } catch (error) {
    if (!(error instanceof MpsFault)) throw error
    return { kind: 'fault', line: error.line, field: error.field, message: error.message, ofLayout: error.ofLayout }
  }
}

/** Of two faults, that of the layout which the text seems to be in: the one that could be read further. */
function likelier(fixed: Attempt, free: Attempt): Attempt {
  if (free.kind === 'model' || fixed.kind === 'model') return fixed.kind === 'model' ? fixed : free
  return free.line > fixed.line || (free.line === fixed.line && fixed.ofLayout) ? free : fixed
}

/**
 * Reads MPS text, fixed or free: sections NAME, OBJSENSE, ROWS, COLUMNS with integer markers, RHS (on the objective: its constant), RANGES and
 * BOUNDS. The first row of type N is the objective. Nothing may stand twice. Faults name the line and the field.
 */
export function readMps(problem: MpsProblem): MpsReading {
  const format = (problem.format ?? '').toLowerCase()
  const { ofLayout: _, ...reading } = format.includes('free')
    ? attempt(problem, false)
    : format.includes('fixed')
      ? attempt(problem, true)
      : likelier(attempt(problem, true), attempt(problem, false))
  return reading
}

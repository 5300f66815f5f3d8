import { readBound } from './mps-bounds.js'
import { entriesOf, isRow, once, oneSet, refuseFields, type MpsDraft, type MpsSection, type Six } from './mps-draft.js'
import { freeFieldsOf } from './mps-free.js'
import { MpsFault, type MpsField, type MpsLine } from './mps-lines.js'

function readSense(draft: MpsDraft, { text, at }: MpsField, line: number): void {
  const word = text.toUpperCase()
  const sense = word.startsWith('MAX') ? 'max' : word.startsWith('MIN') ? 'min' : null
  if (sense === null) throw new MpsFault(line, at, `'${text}' is neither MIN nor MAX`)
  if (draft.sense !== null && draft.sense !== sense)
    throw new MpsFault(line, at, `'${text}' where it was ${draft.sense.toUpperCase()} before`)
  draft.sense = sense
}

function readRow(draft: MpsDraft, [type, name, ...rest]: Six, line: number): void {
  const kind = type.text.toUpperCase()
  if (!['N', 'L', 'G', 'E'].includes(kind)) throw new MpsFault(line, type.at, `'${type.text}' is no type of row`)
  if (name.text === '') throw new MpsFault(line, name.at, 'a row has no name')
  if (isRow(draft, name.text)) throw new MpsFault(line, name.at, `row '${name.text}' stands twice`)
  refuseFields(rest, line)
  if (kind === 'L' || kind === 'G' || kind === 'E') draft.rows.set(name.text, { type: kind, rhs: 0, range: null })
  else if (draft.objective === null) draft.objective = name.text
  else draft.unused.add(name.text)
}

function readMarker(draft: MpsDraft, fields: Six, line: number): void {
  const mark = fields.slice(3).find(({ text }) => text !== '') ?? fields[3]
  const word = mark.text.replaceAll("'", '')
  if (word !== 'INTORG' && word !== 'INTEND') throw new MpsFault(line, mark.at, `'${mark.text}' is neither 'INTORG' nor 'INTEND'`)
  if (draft.whole === (word === 'INTORG'))
    throw new MpsFault(line, mark.at, draft.whole ? "'INTORG' stands twice without 'INTEND'" : "'INTEND' stands without 'INTORG'")
  draft.whole = word === 'INTORG'
}

function readColumn(draft: MpsDraft, fields: Six, line: number): void {
  const [type, name, first] = fields
  if (first.text === "'MARKER'") return readMarker(draft, fields, line)
  refuseFields([type], line)
  if (name.text === '') throw new MpsFault(line, name.at, 'a column has no name')
  if (name.text !== draft.column && draft.columns.has(name.text))
    throw new MpsFault(line, name.at, `column '${name.text}' stands twice: its lines must follow one another`)
  draft.column = name.text
  const column = draft.columns.get(name.text) ?? { coefs: new Map<string, number>(), whole: draft.whole, cost: 0 }
  draft.columns.set(name.text, column)
  for (const { row, value } of entriesOf(draft, fields, line, ['COLUMNS', name.text], `the entry of column '${name.text}'`)) {
    if (row === draft.objective) column.cost = value
    else if (draft.rows.has(row)) column.coefs.set(row, value)
  }
}

function readRightHandSide(draft: MpsDraft, fields: Six, line: number): void {
  refuseFields([fields[0]], line)
  oneSet(draft, 'RHS', fields[1], line)
  for (const { row: name, value } of entriesOf(draft, fields, line, ['RHS'], 'the right-hand side')) {
    const row = draft.rows.get(name)
    if (row) row.rhs = value
    // a right-hand side of the objective is its constant with the sign turned
    else if (name === draft.objective) draft.offset = -value
  }
}

function readRange(draft: MpsDraft, fields: Six, line: number): void {
  refuseFields([fields[0]], line)
  oneSet(draft, 'RANGES', fields[1], line)
  for (const { row: name, at, value } of entriesOf(draft, fields, line, ['RANGES'], 'the range')) {
    const row = draft.rows.get(name)
    if (!row) throw new MpsFault(line, at, `row '${name}' is of type N and has no range`)
    row.range = value
  }
}

/** A section may stand once. */
export function beginSection(draft: MpsDraft, section: MpsSection, { fields, number }: MpsLine): void {
  once(draft, [section], () => new MpsFault(number, fields[0]?.at ?? null, `section ${section} stands twice`))
  if (section === 'NAME') return
  if (section === 'OBJSENSE') {
    if (fields[1]) readSense(draft, fields[1], number)
    return
  }
  refuseFields(fields.slice(1), number)
}

/** Reads one line of data. */
export function readData(draft: MpsDraft, section: MpsSection, line: MpsLine): void {
  if (section === 'NAME' || section === 'ENDATA') throw new MpsFault(line.number, null, `there is no data in ${section}`)
  if (section === 'OBJSENSE') {
    readSense(draft, line.fields[0] ?? { text: '', at: '' }, line.number)
    return refuseFields(line.fields.slice(1), line.number)
  }
  const isName = (word: string): boolean => (section === 'BOUNDS' ? draft.columns.has(word) : isRow(draft, word))
  // both ways of laying out give six
  const fields = (draft.fixed ? line.fields : freeFieldsOf(section, line, isName)) as Six
  switch (section) {
    case 'ROWS':
      return readRow(draft, fields, line.number)
    case 'COLUMNS':
      return readColumn(draft, fields, line.number)
    case 'RHS':
      return readRightHandSide(draft, fields, line.number)
    case 'RANGES':
      return readRange(draft, fields, line.number)
    case 'BOUNDS':
      return readBound(draft, fields, line.number)
  }
}

import { MpsFault, type MpsField } from './mps-lines.js'
import { numberOf } from './mps-number.js'

export type MpsColumn = {
  readonly coefs: Map<string, number>
  whole: boolean
  cost: number
  lo?: number | null
  hi?: number | null
  binary?: true
}
export type MpsRow = { readonly type: 'L' | 'G' | 'E'; rhs: number; range: number | null }

/** What has been read so far. */
export type MpsDraft = {
  readonly fixed: boolean
  readonly rows: Map<string, MpsRow>
  readonly columns: Map<string, MpsColumn>
  /** Rows of type N after the first count for nothing. */
  readonly unused: Set<string>
  /** All that may stand once: sections, entries, right-hand sides, ranges and bounds. */
  readonly stood: Set<string>
  /** The name of the set in RHS, RANGES and BOUNDS: a second one would be another problem. */
  readonly sets: Map<string, string>
  objective: string | null
  offset: number
  sense: 'min' | 'max' | null
  /** The column whose entries are being read. */
  column: string
  /** Between integer markers. */
  whole: boolean
}

export const emptyDraft = (fixed: boolean): MpsDraft => ({
  fixed,
  rows: new Map(),
  columns: new Map(),
  unused: new Set(),
  stood: new Set(),
  sets: new Map(),
  objective: null,
  offset: 0,
  sense: null,
  column: '',
  whole: false,
})

export const SECTIONS = ['NAME', 'ROWS', 'COLUMNS', 'RHS', 'RANGES', 'BOUNDS', 'OBJSENSE', 'ENDATA'] as const
export type MpsSection = (typeof SECTIONS)[number]

/** The six fields of a line of data, some empty. */
export type Six = readonly [type: MpsField, name: MpsField, first: MpsField, value: MpsField, second: MpsField, other: MpsField]

/** Names hold no line break, so that it can part them. */
export function once(draft: MpsDraft, key: readonly string[], fault: () => MpsFault): void {
  const joined = key.join('\n')
  if (draft.stood.has(joined)) throw fault()
  draft.stood.add(joined)
}

export const isRow = (draft: MpsDraft, name: string): boolean => draft.rows.has(name) || draft.objective === name || draft.unused.has(name)

/** What stands where nothing may. */
export function refuseFields(fields: readonly MpsField[], line: number): void {
  const strange = fields.find(({ text }) => text !== '')
  if (strange) throw new MpsFault(line, strange.at, `'${strange.text}' is one too many`)
}

/** One set is read: a second would be another problem in the same text. */
export function oneSet(draft: MpsDraft, section: MpsSection, { text, at }: MpsField, line: number): void {
  const before = draft.sets.get(section) ?? text
  if (text !== '' && text !== before)
    throw new MpsFault(line, at, `'${text}' is a second set in ${section}, after '${before}'; one is read`)
  if (text !== '') draft.sets.set(section, text)
}

type Entry = { readonly row: string; readonly at: string; readonly value: number }

/** The one or two pairs of row and number of a data line, each row known and with this for the first time. */
export function entriesOf(
  draft: MpsDraft,
  [, , first, value, second, other]: Six,
  line: number,
  key: readonly string[],
  what: string,
): Entry[] {
  if (first.text === '') throw new MpsFault(line, first.at, 'the name of a row is missing')
  const pairs: (readonly [MpsField, MpsField])[] = [[first, value]]
  if (second.text !== '') pairs.push([second, other])
  else refuseFields([other], line)
  return pairs.map(([row, figure]) => {
    if (!isRow(draft, row.text)) throw new MpsFault(line, row.at, `'${row.text}' is no row`)
    once(draft, [...key, row.text], () => new MpsFault(line, row.at, `${what} of row '${row.text}' stands twice`))
    return { row: row.text, at: row.at, value: numberOf(figure, line) }
  })
}

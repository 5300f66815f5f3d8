/** A fault in an MPS text: in which line, and in which of its fields where it is one field's. */
export class MpsFault extends Error {
  constructor(
    readonly line: number,
    readonly field: string | null,
    message: string,
    /** Whether the line is not laid out in the columns of fixed MPS at all. */
    readonly ofLayout = false,
  ) {
    super(message)
  }
}

/** `at`: which field of its line it is, in words. */
export type MpsField = { readonly text: string; readonly at: string }

/** A line of an MPS text: a section's header, or data. In free MPS its words as they stand, in fixed MPS its six fields, some empty. */
export type MpsLine = { readonly number: number; readonly header: boolean; readonly fields: readonly MpsField[] }

/** Where the six fields of fixed MPS stand, from column 1: 2-3, 5-12, 15-22, 25-36, 40-47 and 50-61. */
const FIXED: readonly (readonly [from: number, to: number])[] = [
  [1, 3],
  [4, 12],
  [14, 22],
  [24, 36],
  [39, 47],
  [49, 61],
]

const isRemark = (line: string): boolean => line.startsWith('*') || line.trim() === ''

const wordsOf = (line: string): MpsField[] => (line.match(/\S+/g) ?? []).map((text, i) => ({ text, at: `field ${i + 1}` }))

/** Only in fixed MPS may names hold blanks, and fields be empty. What stands between the fields would be lost, a figure cut in two. */
function fixedFieldsOf(line: string, number: number): MpsField[] {
  if (line.includes('\t')) throw new MpsFault(number, null, 'a tab stands in the line; fixed MPS is laid out in columns by blanks', true)
  const between = FIXED.reduce((rest, [from, to]) => rest.slice(0, from) + ' '.repeat(to - from) + rest.slice(to), line)
  const stray = between.search(/\S/)
  if (stray >= 0) {
    const columns = FIXED.map(([from, to]) => `${from + 1}-${to}`).join(', ')
    throw new MpsFault(number, null, `column ${stray + 1} lies between the fields of fixed MPS, which stand in columns ${columns}`, true)
  }
  return FIXED.map(([from, to], i) => ({ text: line.slice(from, to).trim(), at: `field ${i + 1} (columns ${from + 1}-${to})` }))
}

/** The lines of an MPS text without remarks. What a line of OBJSENSE says is one word, in fixed MPS too. */
export function* mpsLines(text: string, fixed: boolean): Generator<MpsLine> {
  let section = ''
  for (const [i, line] of text.split(/\r\n|\r|\n/).entries()) {
    if (isRemark(line)) continue
    const header = /^\S/.test(line)
    if (header) section = (wordsOf(line)[0]?.text ?? '').toUpperCase()
    const inColumns = fixed && !header && section !== 'OBJSENSE'
    yield { number: i + 1, header, fields: inColumns ? fixedFieldsOf(line, i + 1) : wordsOf(line) }
  }
}

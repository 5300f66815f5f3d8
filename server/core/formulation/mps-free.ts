import { MpsFault, type MpsField, type MpsLine } from './mps-lines.js'

/** Whether a word is the name of a row (in RHS and RANGES) or of a column (in BOUNDS). */
type IsName = (word: string) => boolean

const NOTHING: MpsField = { text: '', at: '' }
const WITHOUT_VALUE = ['FR', 'MI', 'PL', 'BV']

/** A set's name may be left out. It is there where the second word is a name that the section is about, or where the words say so by their number. */
function hasSet(words: readonly MpsField[], usual: boolean, isName: IsName): boolean {
  const [first, second] = words.slice(0, 2).map(({ text }) => isName(text))
  if (first && !second) return false
  return second === true || usual
}

function inSixFields(section: string, words: readonly MpsField[], isName: IsName): readonly MpsField[] {
  if (section === 'ROWS') return words
  if (section === 'BOUNDS') {
    const [type = NOTHING, ...rest] = words
    const alone = WITHOUT_VALUE.includes(type.text.toUpperCase())
    return hasSet(rest, rest.length > (alone ? 1 : 2), isName) ? words : [type, NOTHING, ...rest]
  }
  if (section === 'RHS' || section === 'RANGES')
    return [NOTHING, ...(hasSet(words, words.length % 2 === 1, isName) ? [] : [NOTHING]), ...words]
  return [NOTHING, ...words]
}

/** How many of the six fields a section has. */
const MOST: Readonly<Record<string, number>> = { ROWS: 2, BOUNDS: 4 }

/**
 * The words of a line of free MPS as the six fields of fixed MPS: in ROWS and BOUNDS the type comes first, elsewhere the first field is left
 * out. A field that is not there is where it would stand.
 */
export function freeFieldsOf(section: string, { fields: words, number }: MpsLine, isName: IsName): readonly MpsField[] {
  const fields = inSixFields(section, words, isName)
  const tooMuch = fields[MOST[section] ?? 6]
  if (tooMuch) throw new MpsFault(number, tooMuch.at, `'${tooMuch.text}' is one too many in ${section}`)
  const missing = Array.from({ length: 6 - fields.length }, (_, i) => ({ text: '', at: `field ${words.length + i + 1}` }))
  return [...fields, ...missing]
}

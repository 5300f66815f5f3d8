/** A line of an MPS file in its fields: a section's header, or data of at most six fields. */
export type MpsLine = { readonly number: number; readonly header: boolean; readonly fields: readonly string[] }

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
const words = (line: string): string[] => line.trim().split(/\s+/)

/** Only in fixed MPS may names hold blanks, and fields be empty. */
const fixedFields = (line: string): string[] => FIXED.map(([from, to]) => line.slice(from, to).trim())

/** In free MPS a row's or bound's type comes first; elsewhere the first field is left out, and set names may be. */
function freeFields(line: string, section: string): string[] {
  const found = words(line)
  if (section === 'ROWS') return [found[0] ?? '', found[1] ?? '', ...found.slice(2)]
  if (section === 'BOUNDS') {
    const [type = '', ...rest] = found
    const alone = ['FR', 'MI', 'PL', 'BV'].includes(type.toUpperCase())
    return rest.length === (alone ? 1 : 2) ? [type, '', ...rest] : [type, ...rest]
  }
  // a set's name is left out where names and numbers come in pairs
  const unnamed = (section === 'RHS' || section === 'RANGES') && found.length % 2 === 0
  return unnamed ? ['', '', ...found] : ['', ...found]
}

/** The lines of an MPS text without remarks, each in its fields. */
export function mpsLines(text: string, fixed: boolean): readonly MpsLine[] {
  let section = ''
  return text.split(/\r?\n/).flatMap((line, i): MpsLine[] => {
    if (isRemark(line)) return []
    if (/^\S/.test(line)) {
      const fields = words(line)
      section = (fields[0] ?? '').toUpperCase()
      return [{ number: i + 1, header: true, fields }]
    }
    return [{ number: i + 1, header: false, fields: fixed ? fixedFields(line) : freeFields(line, section) }]
  })
}

import { createHash } from 'node:crypto'
import { setImmediate } from 'node:timers/promises'
import { finished } from 'node:stream/promises'
import { parse, type Options } from 'csv-parse'
import { parse as parseAtOnce } from 'csv-parse/sync'
import { fieldError, type Facts, type MillError } from '#core/errors'
import { findSeparator, type Separator } from '#core/laboratory/columns'

export type ReadFile = { readonly fingerprint: string; readonly separator: Separator; readonly records: readonly (readonly string[])[] }

/** What is wrong with a file as a whole, so that no row of it can be told. */
export const fileFault = (code: string, message: string, facts: Facts = {}): MillError =>
  fieldError('bad-input', 'file', code, message, facts)

/** Empty lines stay, because a spreadsheet counts them too. */
const optionsFor = (separator: Separator): Options => ({
  bom: true,
  delimiter: separator,
  record_delimiter: ['\r\n', '\n', '\r'],
  relax_column_count: true,
})

const cellsOfLine = (line: string, separator: Separator): readonly string[] =>
  parseAtOnce(line, { ...optionsFor(separator), relax_quotes: true })[0] ?? []

/** The line of the headings: the first one in which something is written. */
const firstLine = (text: string): string => /[^\r\n]*[^\s,;"\ufeff][^\r\n]*/.exec(text)?.[0] ?? ''

const parseParts = async (parts: readonly string[], separator: Separator): Promise<string[][]> => {
  const records: string[][] = []
  const parser = parse(optionsFor(separator))
  parser.on('data', (record: string[]) => records.push(record))
  const end = finished(parser)
  // awaited below; until then a fault must not count as one that nobody waits for
  end.catch(() => undefined)
  for (const part of parts) {
    if (parser.destroyed) break
    parser.write(part)
    // others get their answers between two pieces
    await setImmediate()
  }
  if (!parser.destroyed) parser.end()
  try {
    await end
  } catch {
    // the parser knows no other fault with these options than quotation marks
    const row = records.length + 1
    throw fileFault('quotes', `row ${row}: a quotation mark has no partner; inside a quoted cell it is written twice`, { row })
  }
  return records
}

/** The cells of a CSV file, row by row, and the fingerprint of its text. */
export const readFile = async (parts: readonly string[]): Promise<ReadFile> => {
  const hash = createHash('sha256')
  for (const part of parts) hash.update(part, 'utf8')
  const line = firstLine(parts.join(''))
  if (line === '') throw fileFault('empty-file', 'the file is empty')
  const separator = findSeparator((tried) => cellsOfLine(line, tried))
  return { fingerprint: hash.digest('hex'), separator, records: await parseParts(parts, separator) }
}

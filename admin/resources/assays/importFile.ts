/** Fifty thousand rows of two hundred letters. */
export const MOST_BYTES = 10 * 1024 * 1024
/** The mill takes no text longer than 100,000 characters at once. */
const PART = 50_000

export type FileText = { readonly kind: 'text'; readonly text: string } | { readonly kind: 'fault'; readonly code: FileFault }
export type FileFault = 'too-large' | 'not-text' | 'not-utf8'

/** By the mark at its beginning: a spreadsheet also saves text of two bytes a letter. */
const encodingOf = ([first, second]: Uint8Array): string =>
  first === 0xff && second === 0xfe ? 'utf-16le' : first === 0xfe && second === 0xff ? 'utf-16be' : 'utf-8'

/** The text of a file, or why it is none. */
export const textOfBytes = (bytes: Uint8Array): FileText => {
  if (bytes.length > MOST_BYTES) return { kind: 'fault', code: 'too-large' }
  // a workbook is a packed folder
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) return { kind: 'fault', code: 'not-text' }
  try {
    const text = new TextDecoder(encodingOf(bytes), { fatal: true }).decode(bytes)
    return text.includes('\0') ? { kind: 'fault', code: 'not-text' } : { kind: 'text', text }
  } catch {
    return { kind: 'fault', code: 'not-utf8' }
  }
}

/** In pieces for the wire; a letter of two halves is never cut. */
export const partsOf = (text: string): readonly string[] => {
  const parts: string[] = []
  for (let from = 0; from < text.length;) {
    const last = text.charCodeAt(from + PART - 1)
    const to = from + PART + (last >= 0xd800 && last <= 0xdbff ? 1 : 0)
    parts.push(text.slice(from, to))
    from = to
  }
  return parts.length === 0 ? [''] : parts
}

/** The empty form: a mark for spreadsheets, and the headings in the reader's language. */
export const templateOf = (headings: readonly string[]): string => `\ufeff${headings.join(',')}\r\n`

import { createReadStream } from 'node:fs'

/** What a file says, or in plain words why it cannot be read. */
export type FileText = { readonly ok: true; readonly text: string } | { readonly ok: false; readonly why: string }

/** Far more than the largest problem that is solved here; a pipe or a device may never end. */
export const LARGEST_FILE = 64 * 2 ** 20

const no = (why: string): FileText => ({ ok: false, why })

/** The text of a file's bytes: UTF-8, with or without the mark that some editors put in front. */
export function textOf(bytes: Uint8Array): FileText {
  const [first, second] = bytes
  const marked = (first === 0xff && second === 0xfe) || (first === 0xfe && second === 0xff)
  // without a mark: JSON begins with a plain character, in UTF-16 beside an empty byte
  if (marked || (bytes.length > 1 && (first === 0 || second === 0))) return no('the file is UTF-16: save it as UTF-8')
  try {
    return { ok: true, text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) }
  } catch {
    return no('the file is no UTF-8 text: save it as UTF-8')
  }
}

const WHY: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  ENOTDIR: 'there is no such file',
  EISDIR: 'it is a folder',
  EACCES: 'there is no right to read it',
  EPERM: 'there is no right to read it',
}

function whyNot(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? String(error.code) : ''
  return WHY[code] ?? (error instanceof Error ? error.message : String(error))
}

/** Reads a problem file, a pipe too. */
export async function readTextFile(path: string): Promise<FileText> {
  const parts: Buffer[] = []
  let size = 0
  try {
    for await (const part of createReadStream(path) as AsyncIterable<Buffer>) {
      parts.push(part)
      size += part.length
      if (size > LARGEST_FILE) return no(`${path}: is larger than ${LARGEST_FILE / 2 ** 20} MB`)
    }
  } catch (error) {
    return no(`${path}: cannot be read: ${whyNot(error)}`)
  }
  return textOf(Buffer.concat(parts))
}

import { randomBytes } from 'node:crypto'
import { mkdir, readFile, writeFile } from 'node:fs/promises'
import { join } from 'node:path'

/** What the file in the data folder holds; made at the first call. Only the owner may read it. */
export const keptSecret = async (dataDir: string, name: string, make: () => string): Promise<string> => {
  const file = join(dataDir, name)
  const present = await readFile(file, 'utf8').catch(() => '')
  if (present.trim() !== '') return present.trim()
  await mkdir(dataDir, { recursive: true, mode: 0o700 })
  const made = make()
  await writeFile(file, `${made}\n`, { mode: 0o600 })
  return made
}

export const makeSessionSecret = (): string => randomBytes(48).toString('base64url')

// No letter or digit that reads like another; five bits each, so 60 bits together.
const READABLE = 'abcdefghjkmnpqrstuvwxyz23456789z'

/** A password that can be read out over the telephone. */
export const makeReadablePassword = (): string => {
  const letters = [...randomBytes(12)].map((byte) => READABLE[byte % 32] ?? 'x')
  return [letters.slice(0, 4), letters.slice(4, 8), letters.slice(8)].map((part) => part.join('')).join('-')
}

import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'

/** SHA-256 of the canonical JSON (RFC 8785) of a value: what people signed and what was solved can be compared by it later. */
export const contentHash = (value: object): string => {
  const text = canonicalize(value)
  if (text === undefined) throw new Error('nothing to hash')
  return createHash('sha256').update(text, 'utf8').digest('hex')
}

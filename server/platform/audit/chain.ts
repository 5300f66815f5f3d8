import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import type { Facts } from '#core/errors'

/** What happened, as it goes into the hash. `at` is an ISO instant with milliseconds. */
export type AuditFacts = {
  readonly seq: number
  readonly at: string
  readonly actorId: string
  readonly actorName: string
  readonly action: string
  readonly entityType: string
  readonly entityId: string
  readonly facts: Facts
  readonly requestId: string
}

/** What the first row of a chain follows. */
export const FIRST_PREVIOUS = '0'.repeat(64)

/** SHA-256 over the RFC 8785 form of the row and of the hash before it, in hexadecimal. */
export const hashEntry = (entry: AuditFacts, previousHash: string): string => {
  const { seq, at, actorId, actorName, action, entityType, entityId, facts, requestId } = entry
  const text = canonicalize({ seq, at, actorId, actorName, action, entityType, entityId, facts, requestId, previousHash })
  if (text === undefined) throw new Error('An audit row cannot be written as JSON')
  return createHash('sha256').update(text, 'utf8').digest('hex')
}

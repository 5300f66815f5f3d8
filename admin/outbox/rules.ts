/**
 * The rules of the outbox: what goes out next, what an answer means, who sees what. Pure, without a browser, so that every sequence of lost
 * networks, crashes and people can be tried in a test.
 */
import type { ProblemField, ProblemName } from '../providers/http'

/** What can be entered without a network. Everything else needs the mill's word at once. */
export type EntryKind = 'receive' | 'results' | 'samples' | 'hand-over' | 'order'
export type EntryState = 'on-this-phone' | 'sending' | 'sent' | 'refused' | 'thrown-away'

export type Refusal = {
  /** `sent-long-ago` is the phone's own: the mill keeps its answers for a day, so that a later repeat could count twice. */
  readonly code: ProblemName | 'sent-long-ago'
  readonly status: number
  readonly fields: readonly ProblemField[]
  readonly requestId: string | null
  /** The whole problem document: some refusals carry findings. */
  readonly body: unknown
}

/** What a form hands over. `key` was made when the form opened. */
export type NewEntry = {
  readonly key: string
  readonly kind: EntryKind
  readonly path: string
  readonly body: unknown
  readonly revision?: number | undefined
  /** What people call it, put into the sentence of its kind. */
  readonly facts: Readonly<Record<string, string>>
  /** The page it was typed on, and what was typed, so that it can be put right there. */
  readonly page: string
  readonly draft: unknown
  /** The key of the refused entry that this one puts right. */
  readonly replaces?: string | undefined
}

export type Result = { readonly id: string; readonly number: number | null }

export type Entry = NewEntry & {
  /** Its place in the order of sending: given by the store, never given again. */
  readonly seq: number
  readonly userId: string
  readonly state: EntryState
  readonly enteredAt: string
  /** How often it went out, and when first: an answer may have been lost each time. */
  readonly tries: number
  readonly firstTriedAt: string | null
  /** Not before this moment, after a try that came to nothing. */
  readonly notBefore: string | null
  /** When it was sent, refused or thrown away. */
  readonly settledAt: string | null
  /** What the mill made of it, to be opened; the rest of its answer is not kept on the phone. */
  readonly result: Result | null
  readonly refusal: Refusal | null
  /** Why it was thrown away. */
  readonly reason: string
}

/** What came back for one try. `status` 0: nothing did, so that the mill may or may not have it. */
export type Reply =
  | { readonly status: 0; readonly code: 'no-network' | 'no-answer' }
  | { readonly status: number; readonly answer: unknown }
  | (Refusal & { readonly code: ProblemName })

export type Verdict = 'sent' | 'again' | 'sign-in' | 'refused'

/** The mill keeps an answer under its key for 24 hours (`KEPT_HOURS` in server/platform/idempotency.ts); four less for slow clocks. */
export const SURE_HOURS = 20
/** A fault of the mill's own is tried so often, for a minute; then it is shown, because it would stop everything behind it. */
const MOST_FAULTS = 6
const FIRST_PAUSE_MS = 2_000
const LONGEST_PAUSE_MS = 60_000
/** Sent and thrown away entries can be looked at for so long. */
const SHOWN_HOURS = { sent: 24, 'thrown-away': 24 * 30 } as const
const HOUR_MS = 3_600_000

/** Nobody has looked at the entry: a proxy without a mill behind it, a mill that is starting, too many requests. */
const NOT_LOOKED_AT: ReadonlySet<number> = new Set([0, 408, 425, 502, 503, 504])
/** Looked at, but not decided: worth some tries. */
const UNDECIDED: ReadonlySet<number> = new Set([429, 500])

const hoursSince = (from: string, now: string): number => (Date.parse(now) - Date.parse(from)) / HOUR_MS

const isAnswer = (reply: Reply): reply is { readonly status: number; readonly answer: unknown } => 'answer' in reply

/** What an answer means for the entry that was sent for the `tries`-th time. */
export const judge = (reply: Reply, tries: number): Verdict => {
  if (isAnswer(reply)) return 'sent'
  const { status, code } = reply
  if (status === 401 || code === 'csrf-refused') return 'sign-in'
  if (NOT_LOOKED_AT.has(status) || code === 'idempotency-key-busy') return 'again'
  if (UNDECIDED.has(status) || status > 500) return tries < MOST_FAULTS ? 'again' : 'refused'
  return 'refused'
}

/** Twice as long after every try, to one minute. */
const pauseMs = (tries: number): number => Math.min(LONGEST_PAUSE_MS, FIRST_PAUSE_MS * 2 ** Math.max(0, tries - 1))

export const entered = (entry: NewEntry, userId: string, now: string): Omit<Entry, 'seq'> => ({
  ...entry,
  userId,
  state: 'on-this-phone',
  enteredAt: now,
  tries: 0,
  firstTriedAt: null,
  notBefore: null,
  settledAt: null,
  result: null,
  refusal: null,
  reason: '',
})

/** Written down before it goes out: after a crash it is known that the mill may have it. */
export const begun = (entry: Entry, now: string): Entry => ({
  ...entry,
  state: 'sending',
  tries: entry.tries + 1,
  firstTriedAt: entry.firstTriedAt ?? now,
})

const resultOf = (answer: unknown): Result | null => {
  if (typeof answer !== 'object' || answer === null || !('id' in answer) || typeof answer.id !== 'string') return null
  return { id: answer.id, number: 'number' in answer && typeof answer.number === 'number' ? answer.number : null }
}

const refusedWith = (entry: Entry, refusal: Refusal, now: string): Entry => ({ ...entry, state: 'refused', refusal, settledAt: now })

export const settled = (entry: Entry, reply: Reply, now: string): Entry => {
  if (isAnswer(reply))
    return { ...entry, state: 'sent', result: resultOf(reply.answer), settledAt: now, notBefore: null, draft: null, body: null }
  const verdict = judge(reply, entry.tries)
  if (verdict === 'refused') return refusedWith(entry, { fields: [], requestId: null, body: null, ...reply }, now)
  const waits = { ...entry, state: 'on-this-phone' as const }
  return verdict === 'sign-in' ? waits : { ...waits, notBefore: new Date(Date.parse(now) + pauseMs(entry.tries)).toISOString() }
}

const isOpen = ({ state }: Entry): boolean => state === 'on-this-phone' || state === 'sending'

/** The oldest of this person that is neither sent nor refused. One that was `sending` when the page went goes out again, under its key. */
export const nextOf = (entries: readonly Entry[], userId: string): Entry | undefined =>
  entries.filter((entry) => entry.userId === userId && isOpen(entry)).toSorted((a, b) => a.seq - b.seq)[0]

/** A clock that follows the network moves by seconds; one that went back by more was set, and hides how much time has passed. */
const SET_BACK_HOURS = 0.05

/** Sent at least once, so long ago, or nobody knows how long ago, that the mill may have forgotten its answer: a person must look first. */
export const isUnsure = ({ firstTriedAt }: Entry, now: string): boolean => {
  if (firstTriedAt === null) return false
  const hours = hoursSince(firstTriedAt, now)
  return hours >= SURE_HOURS || hours < -SET_BACK_HOURS
}
export const unsure = (entry: Entry, now: string): Entry =>
  refusedWith(entry, { code: 'sent-long-ago', status: 0, fields: [], requestId: null, body: null }, now)

/** How long it must still wait after a try that came to nothing; 0: now. No longer than a pause, however the clock was set meanwhile. */
export const waitMs = ({ notBefore }: Entry, now: string): number =>
  notBefore === null ? 0 : Math.min(LONGEST_PAUSE_MS, Math.max(0, Date.parse(notBefore) - Date.parse(now)))

/** The network is back: nothing need wait out its pause. */
export const hurried = (entry: Entry): Entry => ({ ...entry, notBefore: null })

/**
 * Refused for what it says: the mill does not have it, so it can be put right as an entry of its own. After anything else the mill may
 * have it, and only the very same may go out again. Nothing that is typed gives back a role.
 */
export const mayCorrect = ({ state, refusal }: Entry): boolean =>
  state === 'refused' && refusal !== null && refusal.code !== 'not-allowed' && !MAY_BE_THERE.has(refusal.code)
const MAY_BE_THERE: ReadonlySet<Refusal['code']> = new Set([
  'sent-long-ago',
  'idempotency-key-reused',
  'internal',
  'busy',
  'too-many-tries',
])

/** A correction that was refused too stands where the entry stood that it puts right, with what was typed last. */
export const inItsPlace = (entry: Entry): Entry | undefined =>
  entry.replaces === undefined ? undefined : { ...entry, key: entry.replaces }

/** The same again, under the same key: where the fault was the mill's, or a person has looked. */
export const maySendAgain = ({ state, refusal }: Entry): boolean => state === 'refused' && refusal?.code !== 'idempotency-key-reused'
export const again = (entry: Entry): Entry => ({
  ...entry,
  state: 'on-this-phone',
  tries: 0,
  firstTriedAt: null,
  notBefore: null,
  settledAt: null,
  refusal: null,
})

/** Refused, or never sent. Not what may have arrived already: what is thrown away must stay away. */
export const mayThrowAway = ({ state, tries }: Entry): boolean => state === 'refused' || (state === 'on-this-phone' && tries === 0)
export const thrownAway = (entry: Entry, reason: string, now: string): Entry => ({ ...entry, state: 'thrown-away', reason, settledAt: now })

/** What has been looked at long enough. */
export const isOver = ({ state, settledAt }: Entry, now: string): boolean =>
  (state === 'sent' || state === 'thrown-away') && settledAt !== null && hoursSince(settledAt, now) >= SHOWN_HOURS[state]

export type Counts = { readonly waiting: number; readonly refused: number; readonly others: number }

/** What the bar tells: one's own by number and state, everybody else's by number alone. */
export const countsOf = (entries: readonly Entry[], userId: string | undefined): Counts => {
  const own = entries.filter((entry) => entry.userId === userId)
  return {
    waiting: own.filter(isOpen).length,
    refused: own.filter(({ state }) => state === 'refused').length,
    others: entries.filter((entry) => entry.userId !== userId && (isOpen(entry) || entry.state === 'refused')).length,
  }
}

const RANK: Readonly<Record<EntryState, number>> = { refused: 0, sending: 1, 'on-this-phone': 1, sent: 2, 'thrown-away': 3 }

/** One's own, what needs a look first, then what waits in the order of sending, then what was sent, the last first. */
export const listed = (entries: readonly Entry[], userId: string): readonly Entry[] =>
  entries
    .filter((entry) => entry.userId === userId)
    .toSorted((a, b) => RANK[a.state] - RANK[b.state] || (RANK[a.state] < 2 ? a.seq - b.seq : b.seq - a.seq))

import { useSyncExternalStore } from 'react'
import { asProblem, Problem, request } from '../providers/http'
import { currentUser, isConfirmed, onPerson, renewSession } from '../providers/session'
import { startLastSeen } from './lastSeen'
import { makePostman } from './postman'
import { countsOf, listed, type Counts, type Entry, type NewEntry, type Refusal, type Reply } from './rules'
import { entryStore } from './store'

/** How long a form waits for the mill before its entry goes on by itself. */
const PATIENCE_MS = 12_000
/** A try without an answer for so long counts as lost; the same key goes out again. */
const LOST_MS = 60_000

type Shown = {
  readonly entries: readonly Entry[]
  readonly userId: string | undefined
  /** The last try did not reach the mill. */
  readonly unreached: boolean
  /** The mill ended the session while entries were waiting. */
  readonly signedOut: boolean
}

let shown: Shown = { entries: [], userId: undefined, unreached: false, signedOut: false }
const listeners = new Set<() => void>()
const show = (part: Partial<Shown>): void => {
  shown = { ...shown, ...part }
  listeners.forEach((listener) => listener())
}
const subscribe = (listener: () => void): (() => void) => {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

/** Other pages of this browser show the same entries. */
const others = typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('kinu.outbox')

/** A page that opened without a network has no token yet: the mill is asked first who this is. */
const isSender = async (userId: string): Promise<boolean> => {
  if (!isConfirmed()) await renewSession()
  return currentUser()?.id === userId
}

const send = async ({ userId, path, body, key, revision }: Entry): Promise<Reply> => {
  if (!(await isSender(userId))) return { status: 401, code: 'not-signed-in', fields: [], requestId: null, body: null }
  try {
    const answer = await request<unknown>('POST', path, {
      body,
      idempotencyKey: key,
      revision,
      signal: AbortSignal.timeout(LOST_MS),
    })
    return { status: 200, answer: answer.body }
  } catch (cause) {
    const { status, code, fields, requestId = null, body: document } = asProblem(cause)
    if (status === 0) return { status, code: code === 'no-network' ? code : 'no-answer' }
    return { status, code, fields, requestId, body: document }
  }
}

const postman = makePostman({
  store: entryStore,
  send,
  isOnline: () => navigator.onLine,
  userId: () => currentUser()?.id,
  renew: async () => (await renewSession())?.id,
  alone: (run) => ('locks' in navigator ? navigator.locks.request('kinu.outbox', run) : run()),
  now: () => new Date().toISOString(),
  later: (run, ms) => void setTimeout(run, ms),
  onChange: (entries) => {
    show({ entries })
    others?.postMessage('changed')
  },
  onSignedOut: () => show({ signedOut: true }),
  onReach: (reached) => show({ unreached: !reached }),
})

/** To be called once by each entry of the console, before it is drawn. */
export const startOutbox = (): void => {
  others?.addEventListener(
    'message',
    () =>
      void entryStore
        .all()
        .then((entries) => show({ entries }))
        .catch(() => undefined),
  )
  addEventListener('online', () => {
    if (currentUser() !== null && !isConfirmed()) void renewSession().then(postman.hurry)
    else void postman.hurry()
  })
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void postman.hurry()
  })
  addEventListener('beforeunload', (event) => {
    if (mustAsk()) event.preventDefault()
  })
  onPerson((userId) => {
    show({ userId, signedOut: shown.signedOut && userId === undefined })
    void postman.flush()
  })
  startLastSeen()
  void postman.tidy()
}

const waits = (): Counts => countsOf(shown.entries, shown.userId)
/** Leaving with entries that have not been sent asks first. */
export const mustAsk = (): boolean => waits().waiting + waits().refused > 0

export const useOutbox = () => {
  const state = useSyncExternalStore(subscribe, () => shown)
  return {
    ...state,
    counts: countsOf(state.entries, state.userId),
    listed: state.userId === undefined ? [] : listed(state.entries, state.userId),
  }
}

export const sendNow = (): Promise<void> => postman.hurry()
export const sendAgain = (entry: Entry): Promise<void> => postman.sendAgain(entry.key, entry.userId)
export const throwAway = (entry: Entry, reason: string): Promise<boolean> => postman.throwAway(entry.key, entry.userId, reason)

/** The entry that a form puts right: the address of the page names its key. */
export const entryToCorrect = (): Entry | undefined => {
  const key = new URLSearchParams(location.hash.split('?')[1] ?? '').get('entry')
  return shown.entries.find((entry) => entry.key === key && entry.userId === currentUser()?.id && entry.draft !== null)
}

/**
 * Sends an entry by way of the outbox: it is written down on the phone first, so that neither a lost network nor a closed page loses it.
 * Gives the mill's answer, throws the `Problem` it refused it with, or gives undefined when the entry waits on the phone: then the page
 * of the outbox shows it.
 */
export const enter = async <T>(draft: NewEntry): Promise<T | undefined> => {
  const userId = currentUser()?.id
  if (userId === undefined) throw new Problem('not-signed-in', 401, undefined, [], null)
  const outcome = await postman.enter(draft, userId, PATIENCE_MS)
  switch (outcome.kind) {
    case 'answered':
      return outcome.answer as T
    case 'refused':
      throw problemFrom(outcome.refusal)
    case 'kept':
      location.hash = '/outbox'
      return undefined
    case 'not-kept':
      return sendAtOnce<T>(draft)
  }
}

/** A full phone or a browser that keeps nothing (a private window): then an entry needs the network like everything else. */
const sendAtOnce = async <T>({ path, body, key, revision }: NewEntry): Promise<T> =>
  (await request<T>('POST', path, { body, idempotencyKey: key, revision })).body

/** The problem as every page shows it. `sent-long-ago` is found before sending, so no open form meets it. */
const problemFrom = ({ code, status, requestId, fields, body }: Refusal): Problem =>
  new Problem(code === 'sent-long-ago' ? 'no-answer' : code, status, requestId ?? undefined, fields, body)

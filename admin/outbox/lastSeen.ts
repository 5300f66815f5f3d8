import { Problem, type Answer } from '../providers/http'
import { currentUser, onPerson } from '../providers/session'
import { openTables } from './store'

/** What the pages that work without a network are made of, and the homes that lead to them. Searches are not worth keeping. */
const KEPT = /^\/(mill|home|offers|ingredients|suppliers|samples-due|orders|lots)(\/|\?|$)/
const SEARCH = /[?&]q=[^&]/
const MOST_KEPT = 60

const keep = async (userId: string, path: string, { body, headers }: Answer<unknown>): Promise<void> => {
  const tables = await openTables()
  const run = tables.transaction('seen', 'readwrite')
  const total = headers.get('x-total-count')
  await run.store.put({ userId, path, body, total: total === null ? null : Number(total), at: new Date().toISOString() })
  const all = await run.store.getAll()
  const oldest = all.toSorted((a, b) => a.at.localeCompare(b.at)).slice(0, Math.max(0, all.length - MOST_KEPT))
  await Promise.all(oldest.map((seen) => run.store.delete([seen.userId, seen.path])))
  await run.done
}

/** Figures of one person are nothing for the next one on this phone. */
const forget = async (exceptOf: string | undefined): Promise<void> => {
  const run = (await openTables()).transaction('seen', 'readwrite')
  const gone = (await run.store.getAllKeys()).filter(([userId]) => userId !== exceptOf)
  await Promise.all(gone.map((key) => run.store.delete(key)))
  await run.done
}

/** To be called once a page load. */
export const startLastSeen = (): void => {
  let first = true
  onPerson((userId) => {
    // who is signed in is not known yet
    if (!first) void forget(userId).catch(() => undefined)
    first = false
  })
}

/** What the mill answers; without a network, what it answered this person last on this device. */
export const orLastSeen = async <T>(path: string, ask: () => Promise<Answer<T>>): Promise<Answer<T>> => {
  const userId = currentUser()?.id
  if (userId === undefined || !KEPT.test(path) || SEARCH.test(path)) return ask()
  try {
    const answer = await ask()
    // they may have signed out while it was on its way
    if (currentUser()?.id === userId) void keep(userId, path, answer).catch(() => undefined)
    return answer
  } catch (cause) {
    if (!(cause instanceof Problem && cause.status === 0)) throw cause
    const seen = await openTables()
      .then((tables) => tables.get('seen', [userId, path]))
      .catch(() => undefined)
    if (!seen) throw cause
    return { body: seen.body as T, headers: new Headers(seen.total === null ? {} : { 'x-total-count': String(seen.total) }) }
  }
}

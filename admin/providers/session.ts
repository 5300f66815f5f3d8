import type { SessionUser, SessionView } from '#contract/access'
import type { Language } from '../i18n/language'
import { newKey, Problem, rememberCsrf, request } from './http'

let user: SessionUser | null = null
/** The mill has said so on this page; else it is what the device remembers. */
let confirmed = false

type Listener = (userId: string | undefined) => void
const listeners = new Set<Listener>()

/** Told of everybody who signs in or out on this page, and at once who is signed in. */
export const onPerson = (listener: Listener): (() => void) => {
  listeners.add(listener)
  listener(user?.id)
  return () => listeners.delete(listener)
}
const setUser = (next: SessionUser | null): void => {
  user = next
  listeners.forEach((listener) => listener(next?.id))
}

/**
 * Who is signed in on this device, for a page that opens without a network: only so that they find their own entries. The mill decides
 * again as soon as it can be asked. `leaving`: signed out without a network, so that the mill must still be told.
 */
const PLACE = 'kinu.person'
type Kept = { readonly user: SessionUser } | { readonly leaving: true }
const keepPerson = (kept: Kept | undefined): void => {
  try {
    if (kept) localStorage.setItem(PLACE, JSON.stringify(kept))
    else localStorage.removeItem(PLACE)
  } catch {
    // no storage in this browser: without a network nobody is known
  }
}
const keptPerson = (): Kept | undefined => {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(PLACE) ?? 'null')
    return typeof kept === 'object' && kept !== null ? (kept as Kept) : undefined
  } catch {
    return undefined
  }
}
const isLeaving = (): boolean => {
  const kept = keptPerson()
  return kept !== undefined && 'leaving' in kept
}

const remember = (view: SessionView): SessionUser => {
  rememberCsrf(view.csrfToken)
  keepPerson({ user: view.user })
  confirmed = true
  setUser(view.user)
  return view.user
}

export const isConfirmed = (): boolean => confirmed

export const currentUser = (): SessionUser | null => user

const isStatus = (cause: unknown, status: number): boolean => cause instanceof Problem && cause.status === status

export const signIn = async (login: string, password: string): Promise<SessionUser> =>
  remember((await request<SessionView>('POST', '/session', { body: { login, password }, idempotencyKey: newKey() })).body)

const askSession = async (): Promise<SessionUser | null> => {
  try {
    return remember((await request<SessionView>('GET', '/session')).body)
  } catch (cause) {
    if (!isStatus(cause, 401)) throw cause
    forgetSession()
    return null
  }
}

/** Somebody signed out while there was no network: the mill is told before it is asked anything. */
const finishLeaving = async (): Promise<void> => {
  if (!isLeaving()) return
  rememberCsrf((await request<SessionView>('GET', '/session')).body.csrfToken)
  await request('DELETE', '/session')
}

/** Who is signed in on this device, or nobody; asks the mill once a page load. */
export const loadSession = async (): Promise<SessionUser | null> => {
  if (user) return user
  try {
    await finishLeaving().catch((cause: unknown) => {
      if (!isStatus(cause, 401)) throw cause
    })
    return await askSession()
  } catch (cause) {
    const kept = keptPerson()
    if (!isStatus(cause, 0) || kept === undefined) throw cause
    if ('leaving' in kept) return null
    setUser(kept.user)
    return kept.user
  }
}

/** After the mill refused the session of this page, or when the page began without a network: asks again who is signed in. */
export const renewSession = (): Promise<SessionUser | null> => askSession().catch(() => null)

export const forgetSession = (): void => {
  confirmed = false
  rememberCsrf('')
  keepPerson(undefined)
  setUser(null)
}

export const signOut = async (): Promise<void> => {
  try {
    await request('DELETE', '/session')
  } catch (cause) {
    if (isStatus(cause, 0)) {
      forgetSession()
      keepPerson({ leaving: true })
      return
    }
    // a session that has ended already is signed out
    if (!isStatus(cause, 401)) throw cause
  } finally {
    if (!isLeaving()) forgetSession()
  }
}

/** The language belongs to the person; on the sign-in page there is none yet, so only the device keeps it. */
export const saveLanguage = async (language: Language): Promise<void> => {
  if (!user || user.language === language) return
  user = { ...user, language }
  await request('PATCH', '/session', { body: { language }, idempotencyKey: newKey() })
}

import type { SessionUser, SessionView } from '#contract/access'
import type { Language } from '../i18n/language'
import { newKey, Problem, rememberCsrf, request } from './http'

let user: SessionUser | null = null

const remember = (view: SessionView): SessionUser => {
  rememberCsrf(view.csrfToken)
  user = view.user
  return view.user
}

export const currentUser = (): SessionUser | null => user

export const signIn = async (login: string, password: string): Promise<SessionUser> =>
  remember((await request<SessionView>('POST', '/session', { body: { login, password }, idempotencyKey: newKey() })).body)

/** Who is signed in on this device, or nobody; asks the mill once a page load. */
export const loadSession = async (): Promise<SessionUser | null> => {
  if (user) return user
  try {
    return remember((await request<SessionView>('GET', '/session')).body)
  } catch (cause) {
    if (cause instanceof Problem && cause.status === 401) return null
    throw cause
  }
}

export const forgetSession = (): void => {
  user = null
  rememberCsrf('')
}

export const signOut = async (): Promise<void> => {
  try {
    await request('DELETE', '/session')
  } catch (cause) {
    // a session that has ended already is signed out
    if (!(cause instanceof Problem && cause.status === 401)) throw cause
  } finally {
    forgetSession()
  }
}

/** The language belongs to the person; on the sign-in page there is none yet, so only the device keeps it. */
export const saveLanguage = async (language: Language): Promise<void> => {
  if (!user || user.language === language) return
  user = { ...user, language }
  await request('PATCH', '/session', { body: { language }, idempotencyKey: newKey() })
}

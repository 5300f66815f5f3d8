import type { AuthProvider } from 'react-admin'
import type { SessionUser } from '#contract/access'
import { canAccess } from './canAccess'
import { Problem } from './http'
import { forgetSession, loadSession, signIn, signOut } from './session'

const statusOf = (error: unknown): number => {
  if (error instanceof Problem) return error.status
  return typeof error === 'object' && error !== null && 'status' in error && typeof error.status === 'number' ? error.status : 0
}

/** `afterSignIn` lets the shell take the person's language and theme. */
export const makeAuthProvider = (afterSignIn: (user: SessionUser) => void): AuthProvider => ({
  async login({ login, password }: { login: string; password: string }) {
    afterSignIn(await signIn(login, password))
  },
  async logout() {
    await signOut()
  },
  async checkAuth() {
    if (!(await loadSession())) throw new Error('not-signed-in')
  },
  async checkError(error: unknown) {
    if (statusOf(error) !== 401) return
    forgetSession()
    throw error
  },
  async getIdentity() {
    const user = await loadSession()
    return { id: user?.id ?? '', fullName: user?.name ?? '' }
  },
  async getPermissions() {
    return (await loadSession())?.role ?? null
  },
  async canAccess({ resource, action }) {
    const user = await loadSession()
    return user !== null && canAccess(user.role, action, resource)
  },
})

import { createContext, useCallback, useContext, useEffect, useMemo, useState, type ReactNode } from 'react'
import type { SessionUser } from '#contract/access'
import { Problem } from '../providers/http'
import { forgetSession, loadSession, signIn, signOut } from '../providers/session'

type MemberSession = {
  /** `undefined` until the mill has answered, `null` when nobody is signed in. */
  readonly user: SessionUser | null | undefined
  readonly problem: Problem | undefined
  readonly enter: (phone: string, pin: string) => Promise<SessionUser>
  readonly leave: () => Promise<void>
  /** After an answer 401: back to the sign-in page, nothing typed is lost on the device. */
  readonly ended: () => void
  readonly reload: () => Promise<void>
}

const SessionContext = createContext<MemberSession | null>(null)

export const useMemberSession = (): MemberSession => {
  const session = useContext(SessionContext)
  if (!session) throw new Error('no MemberSessionProvider around this part')
  return session
}

export const MemberSessionProvider = ({ children }: { children: ReactNode }) => {
  const [user, setUser] = useState<SessionUser | null>()
  const [problem, setProblem] = useState<Problem>()
  const reload = useCallback(async () => {
    setProblem(undefined)
    try {
      setUser(await loadSession())
    } catch (cause) {
      setProblem(cause instanceof Problem ? cause : new Problem('internal', 0, undefined, [], cause))
    }
  }, [])
  useEffect(() => void reload(), [reload])
  const session = useMemo(
    (): MemberSession => ({
      user,
      problem,
      reload,
      async enter(phone, pin) {
        const entered = await signIn(phone, pin)
        setUser(entered)
        return entered
      },
      async leave() {
        await signOut()
        setUser(null)
      },
      ended() {
        forgetSession()
        setUser(null)
      },
    }),
    [user, problem, reload],
  )
  return <SessionContext value={session}>{children}</SessionContext>
}

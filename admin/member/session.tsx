import { createContext, useCallback, useContext, useEffect, useMemo, useState, type ReactNode } from 'react'
import type { SessionUser } from '#contract/access'
import { asProblem, type Problem } from '../providers/http'
import { forgetSession, loadSession, onPerson, signIn, signOut } from '../providers/session'
import { forgetAnswers } from './keptAnswers'
import { forgetDrafts } from './draft'

type MemberSession = {
  /** `undefined` until the mill has answered, `null` when nobody is signed in. */
  readonly user: SessionUser | null | undefined
  readonly problem: Problem | undefined
  /** The mill ended the session while the page was open; the sign-in page says so. */
  readonly hasEnded: boolean
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
  const [hasEnded, setHasEnded] = useState(false)
  const reload = useCallback(async () => {
    setProblem(undefined)
    try {
      setUser(await loadSession())
    } catch (cause) {
      setProblem(asProblem(cause))
    }
  }, [])
  useEffect(() => void reload(), [reload])
  // the outbox may find that the session has ended, or that a page which opened without a network was somebody else's
  useEffect(
    () =>
      onPerson((userId) =>
        setUser((before) => {
          if (!before || before.id === userId) return before
          setHasEnded(true)
          forgetAnswers()
          return null
        }),
      ),
    [],
  )
  const enter = useCallback(async (phone: string, pin: string) => {
    const entered = await signIn(phone, pin)
    setHasEnded(false)
    setUser(entered)
    return entered
  }, [])
  const leave = useCallback(async () => {
    await signOut()
    // the next person on this phone finds nothing of the one before
    forgetAnswers()
    forgetDrafts()
    setHasEnded(false)
    setUser(null)
  }, [])
  const ended = useCallback(() => {
    forgetSession()
    forgetAnswers()
    setHasEnded(true)
    setUser(null)
  }, [])
  const session = useMemo(
    (): MemberSession => ({ user, problem, hasEnded, reload, enter, leave, ended }),
    [user, problem, hasEnded, reload, enter, leave, ended],
  )
  return <SessionContext value={session}>{children}</SessionContext>
}

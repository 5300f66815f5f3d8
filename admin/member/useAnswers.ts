import { useCallback, useEffect, useState } from 'react'
import { orLastSeen } from '../outbox/lastSeen'
import { asProblem, request, type Problem } from '../providers/http'
import { keepAnswer, keptAnswers } from './keptAnswers'
import { useMemberSession } from './session'

type State = { readonly key: string; readonly bodies?: readonly unknown[]; readonly problem?: Problem }

export type Answers<T> = {
  readonly bodies: T | undefined
  readonly problem: Problem | undefined
  readonly reload: () => void
}

const ask = async (path: string, signal: AbortSignal): Promise<unknown> => {
  const { body } = await orLastSeen(path, () => request<unknown>('GET', path, { signal }))
  keepAnswer(path, body)
  return body
}

/** What the mill answers to these paths, all together. What was seen before is shown until the new answer is there. */
export const useAnswers = <T extends readonly unknown[]>(...paths: { [K in keyof T]: string }): Answers<T> => {
  const { ended } = useMemberSession()
  const key = paths.join('\n')
  const [state, setState] = useState<State>({ key: '' })
  const [round, setRound] = useState(0)
  useEffect(() => {
    const stop = new AbortController()
    const { signal } = stop
    Promise.all(key.split('\n').map((path) => ask(path, signal))).then(
      (bodies) => {
        if (!signal.aborted) setState({ key, bodies })
      },
      (cause: unknown) => {
        if (signal.aborted) return
        const problem = asProblem(cause)
        if (problem.status === 401) ended()
        else setState({ key, problem })
      },
    )
    return () => stop.abort()
  }, [key, round, ended])
  const reload = useCallback(() => setRound((before) => before + 1), [])
  const current = state.key === key ? state : undefined
  const bodies = current?.bodies ?? keptAnswers(key.split('\n'))
  return { bodies: bodies as T | undefined, problem: current?.problem, reload }
}

import { useCallback, useState } from 'react'
import { asProblem, request, type Problem } from '../providers/http'
import { useFaultWords } from '../shell/useFaultWords'
import { forgetAnswers } from './keptAnswers'
import { useMemberSession } from './session'

type Command = {
  readonly method: 'POST' | 'PATCH'
  readonly path: string
  readonly body: unknown
  /** The same for every repeat of the same entry: a lost answer never makes two of it. */
  readonly key: string
  readonly revision?: number
}

/** One command of a page: gives the answer, or undefined when it was refused (see `problem` and `errorAt`). */
export const useSend = () => {
  const { ended } = useMemberSession()
  const faultWords = useFaultWords()
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)
  const send = useCallback(
    async <T>({ method, path, body, key, revision }: Command): Promise<T | undefined> => {
      setBusy(true)
      try {
        const answer = await request<T>(method, path, { body, idempotencyKey: key, revision })
        // what was seen before the change is no longer so
        forgetAnswers()
        setProblem(undefined)
        return answer.body
      } catch (cause) {
        const met = asProblem(cause)
        if (met.status === 401) ended()
        setProblem(met)
        return undefined
      } finally {
        setBusy(false)
      }
    },
    [ended],
  )
  const errorAt = (path: string): string | undefined => {
    const field = problem?.fields.find((candidate) => candidate.path === path)
    return field && faultWords(field)
  }
  return { send, busy, problem, errorAt, forget: () => setProblem(undefined) }
}

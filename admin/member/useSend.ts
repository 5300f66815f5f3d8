import { useCallback, useState } from 'react'
import { asProblem, request, type Problem } from '../providers/http'
import { enter } from '../outbox/outbox'
import type { NewEntry } from '../outbox/rules'
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
  /** Given: it can be entered without a network, and goes by way of the outbox. */
  readonly entry?: Pick<NewEntry, 'kind' | 'facts' | 'page' | 'draft' | 'replaces'>
  /** It waits on this phone, and its page follows: the form can forget it. */
  readonly onKept?: () => void
}

/** One command of a page: gives the answer, or undefined when it was refused (see `problem` and `errorAt`) or waits on this phone. */
export const useSend = () => {
  const { ended } = useMemberSession()
  const faultWords = useFaultWords()
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)
  const send = useCallback(
    async <T>({ method, path, body, key, revision, entry, onKept }: Command): Promise<T | undefined> => {
      setBusy(true)
      try {
        const answer = entry
          ? await enter<T>({ key, path, body, revision, ...entry })
          : (await request<T>(method, path, { body, idempotencyKey: key, revision })).body
        // what was seen before the change is no longer so; what waits on the phone has changed nothing yet
        if (answer === undefined) onKept?.()
        else forgetAnswers()
        setProblem(undefined)
        return answer
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

import { useCallback, useState } from 'react'
import { useDataProvider } from 'react-admin'
import { enter } from '../outbox/outbox'
import type { NewEntry } from '../outbox/rules'
import { problemOf, type MillDataProvider } from '../providers/dataProvider'
import { Problem } from '../providers/http'
import { useFormKey } from '../providers/useFormKey'
import { useFaultWords } from './useFaultWords'

type Command = {
  readonly method: 'POST' | 'PATCH'
  readonly path: string
  readonly body?: unknown
  readonly revision?: number | undefined
  /** Given: it can be entered without a network, and goes by way of the outbox. */
  readonly entry?: Pick<NewEntry, 'kind' | 'facts' | 'page' | 'draft' | 'replaces'>
}

export const asProblem = (error: unknown): Problem => problemOf(error) ?? new Problem('no-answer', 0, undefined, [], error)

/**
 * One command of one page: its key lives as long as the page, what the mill says against it is kept to be shown.
 * `send` gives the answer, or undefined when it was refused (see `problem` and `errorAt`) or waits on this phone (its page follows).
 */
export const useAct = () => {
  const mill = useDataProvider<MillDataProvider>()
  const key = useFormKey()
  const faultWords = useFaultWords()
  const [problem, setProblem] = useState<Problem>()
  const [busy, setBusy] = useState(false)

  const send = useCallback(
    async <T>({ method, path, body = {}, revision, entry }: Command): Promise<T | undefined> => {
      setBusy(true)
      try {
        const answer = entry
          ? await enter<T>({ key: key.current(), path, body, revision, ...entry })
          : await mill.act<T>(method, path, body, { idempotencyKey: key.current(), revision })
        key.renew()
        setProblem(undefined)
        return answer
      } catch (error) {
        setProblem(asProblem(error))
        return undefined
      } finally {
        setBusy(false)
      }
    },
    [mill, key],
  )
  const errorAt = (path: string): string | undefined => {
    const field = problem?.fields.find((candidate) => candidate.path === path)
    return field && faultWords(field)
  }
  return { send, busy, problem, errorAt, forget: () => setProblem(undefined) }
}

import { useEffect, useState } from 'react'
import { useDataProvider } from 'react-admin'
import type { MillDataProvider } from '../../providers/dataProvider'
import type { Problem } from '../../providers/http'
import { asProblem } from '../../shell/useAct'

/** What these questions answer takes seconds, so they wait until the typing is surely over. */
const ASK_AFTER_MS = 400

/**
 * The answer to a question that keeps nothing at the mill, asked again after every change of it; nothing is asked while `body` is null.
 * A question that is overtaken is aborted. The last answer stays while a new one is on its way: then it is `stale`.
 */
export const useAsked = <T>(path: string, body: object | null) => {
  const mill = useDataProvider<MillDataProvider>()
  const [answered, setAnswered] = useState<{ readonly asked: string; readonly answer: T }>()
  const [working, setWorking] = useState(false)
  const [problem, setProblem] = useState<Problem>()
  const [stopped, setStopped] = useState('')
  const [tries, setTries] = useState(0)
  const text = body ? JSON.stringify(body) : null

  useEffect(() => {
    if (text === null || text === stopped) return undefined
    const stop = new AbortController()
    const ask = async () => {
      setWorking(true)
      setProblem(undefined)
      try {
        const answer = await mill.act<T>('POST', path, JSON.parse(text), { signal: stop.signal })
        if (!stop.signal.aborted) setAnswered({ asked: text, answer })
      } catch (error) {
        if (!stop.signal.aborted) setProblem(asProblem(error))
      } finally {
        if (!stop.signal.aborted) setWorking(false)
      }
    }
    const timer = setTimeout(() => void ask(), ASK_AFTER_MS)
    return () => {
      clearTimeout(timer)
      stop.abort()
      setWorking(false)
    }
  }, [path, text, tries, stopped, mill])

  return {
    answer: answered?.answer,
    stale: answered !== undefined && answered.asked !== text,
    working,
    problem: text === null ? undefined : problem,
    stop: () => setStopped(text ?? ''),
    again: () => {
      setStopped('')
      setTries((before) => before + 1)
    },
  }
}
export type AskedState = Omit<ReturnType<typeof useAsked>, 'answer'>

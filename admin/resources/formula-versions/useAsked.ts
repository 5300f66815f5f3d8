import { useEffect, useRef, useState } from 'react'
import { useDataProvider } from 'react-admin'
import type { MillDataProvider } from '../../providers/dataProvider'
import type { Problem } from '../../providers/http'
import { asProblem } from '../../shell/useAct'

/** How long after a change its question is asked; `atOnce`: the first change after such a rest does not wait. */
export type Pause = { readonly afterMs: number; readonly atOnce: boolean }

/** What most of these questions answer takes seconds, so they wait until the typing is surely over. */
const SURELY_OVER: Pause = { afterMs: 400, atOnce: false }

/**
 * The answer to a question that keeps nothing at the mill, asked again after every change of it; nothing is asked while `body` is null.
 * A question that is overtaken is aborted. The last answer stays while a new one is on its way: then it is `stale`.
 */
export const useAsked = <T>(path: string, body: object | null, { afterMs, atOnce }: Pause = SURELY_OVER) => {
  const mill = useDataProvider<MillDataProvider>()
  const [answered, setAnswered] = useState<{ readonly asked: string; readonly answer: T }>()
  const [refused, setRefused] = useState<{ readonly asked: string; readonly problem: Problem }>()
  const [stopped, setStopped] = useState('')
  const [tries, setTries] = useState(0)
  const changedAt = useRef(Number.NEGATIVE_INFINITY)
  const text = body ? JSON.stringify(body) : null

  useEffect(() => {
    if (text === null || text === stopped) return undefined
    const stop = new AbortController()
    const ask = async () => {
      try {
        const answer = await mill.act<T>('POST', path, JSON.parse(text), { signal: stop.signal })
        if (!stop.signal.aborted) setAnswered({ asked: text, answer })
      } catch (error) {
        if (!stop.signal.aborted) setRefused({ asked: text, problem: asProblem(error) })
      }
    }
    const now = performance.now()
    const rested = atOnce && now - changedAt.current >= afterMs
    changedAt.current = now
    const timer = rested ? undefined : setTimeout(() => void ask(), afterMs)
    if (rested) void ask()
    return () => {
      clearTimeout(timer)
      stop.abort()
    }
  }, [path, text, tries, stopped, mill, afterMs, atOnce])

  const problem = refused?.asked === text ? refused?.problem : undefined
  return {
    answer: answered?.answer,
    stale: answered !== undefined && answered.asked !== text,
    // told from the others, so that asking does not draw the page once more
    working: text !== null && text !== stopped && answered?.asked !== text && problem === undefined,
    problem,
    stop: () => setStopped(text ?? ''),
    again: () => {
      setStopped('')
      setRefused(undefined)
      setTries((before) => before + 1)
    },
  }
}
export type AskedState = Omit<ReturnType<typeof useAsked>, 'answer'>

import { useEffect, useState } from 'react'
import { useDataProvider } from 'react-admin'
import type { MixView } from '#contract/formulas'
import type { MillDataProvider } from '../../providers/dataProvider'
import type { Problem } from '../../providers/http'
import { asProblem } from '../../shell/useAct'
import type { Limits, Medication, Version } from './versionForm'

export type LotsChoice = 'released' | 'in-store' | 'book'
export type SolveRequest = {
  readonly stage: string
  readonly limits: Limits
  readonly medication: Medication | null
  readonly batchKg: string
  readonly lots: LotsChoice
  readonly prices?: readonly { readonly ingredientId: string; readonly pricePerKg: string }[]
  readonly without?: readonly string[]
}
type Answer = { readonly asked: string; readonly mix: MixView }

/** A tonne of this version from the lots that are released now: what approving it would be decided on. */
export const tonneOf = ({ stage, limits, medication }: Version): SolveRequest => ({
  stage,
  limits,
  medication,
  batchKg: '1000',
  lots: 'released',
})

/** Typing pauses this long before the mix is worked out again. */
const SOLVE_AFTER_MS = 150

/**
 * The mix of what is asked now, worked out again after every change. The old answer stays while a new one is on its way or none can be
 * asked for (`asked` is null): then it is `stale`. Stopping keeps the old answer until the next change.
 */
export const useSolve = (asked: SolveRequest | null) => {
  const mill = useDataProvider<MillDataProvider>()
  const [answer, setAnswer] = useState<Answer>()
  const [working, setWorking] = useState(false)
  const [problem, setProblem] = useState<Problem>()
  const [stopped, setStopped] = useState('')
  const [tries, setTries] = useState(0)
  const text = asked ? JSON.stringify(asked) : null

  useEffect(() => {
    if (text === null || text === stopped) return undefined
    const stop = new AbortController()
    const solve = async () => {
      setWorking(true)
      try {
        const mix = await mill.act<MixView>('POST', '/solve', JSON.parse(text), { signal: stop.signal })
        if (stop.signal.aborted) return
        setAnswer({ asked: text, mix })
        setProblem(undefined)
      } catch (error) {
        if (!stop.signal.aborted) setProblem(asProblem(error))
      } finally {
        if (!stop.signal.aborted) setWorking(false)
      }
    }
    const timer = setTimeout(() => void solve(), SOLVE_AFTER_MS)
    return () => {
      clearTimeout(timer)
      stop.abort()
      setWorking(false)
    }
  }, [text, tries, stopped, mill])

  return {
    mix: answer?.mix,
    stale: answer !== undefined && answer.asked !== text,
    working,
    problem: text === null ? undefined : problem,
    stop: () => setStopped(text ?? ''),
    again: () => {
      setStopped('')
      setTries((before) => before + 1)
    },
  }
}

import { useEffect, useRef, useState } from 'react'
import { useDataProvider } from 'react-admin'
import type { GatePriceView } from '#contract/gate-price'
import type { MillDataProvider } from '../../providers/dataProvider'
import type { Problem } from '../../providers/http'
import { asProblem } from '../../shell/useAct'
import { useFaultWords } from '../../shell/useFaultWords'
import type { GateBody, GateDraft } from './gateDraft'

type Answered = { readonly view: GatePriceView; readonly draft: GateDraft }

/** Asks when told to, one question at a time: a new one, or [Stop], ends the one before. The last answer stays until the next has come. */
export const useGateQuestion = () => {
  const mill = useDataProvider<MillDataProvider>()
  const faultWords = useFaultWords()
  const [answered, setAnswered] = useState<Answered>()
  const [problem, setProblem] = useState<Problem>()
  const [working, setWorking] = useState(false)
  const running = useRef<AbortController>(undefined)
  useEffect(() => () => running.current?.abort(), [])

  const stop = (): void => {
    running.current?.abort()
    setWorking(false)
  }
  const ask = async (body: GateBody, draft: GateDraft): Promise<void> => {
    stop()
    const control = new AbortController()
    running.current = control
    setProblem(undefined)
    setWorking(true)
    try {
      const view = await mill.act<GatePriceView>('POST', '/gate-price', body, { signal: control.signal })
      if (!control.signal.aborted) setAnswered({ view, draft })
    } catch (error) {
      if (!control.signal.aborted) setProblem(asProblem(error))
    } finally {
      if (!control.signal.aborted) setWorking(false)
    }
  }
  const errorAt = (path: string): string | undefined => {
    const field = problem?.fields.find((candidate) => candidate.path === path)
    return field && faultWords(field)
  }
  return { ask, stop, working, answered, problem, errorAt, forget: () => setProblem(undefined) }
}

import { useEffect, useState, type ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { FailureBar } from '../../ui/Failure'
import { Working } from '../../ui/Waiting'
import type { AskedState } from './useAsked'
import './asked.css'

/** A quick answer only replaces the old one: what keeps nobody waiting is not said to be waited for. */
const SLOW_AFTER_MS = 300

const useLate = (on: boolean): boolean => {
  const [late, setLate] = useState(false)
  useEffect(() => {
    if (!on) return undefined
    const timer = setTimeout(() => setLate(true), SLOW_AFTER_MS)
    return () => {
      clearTimeout(timer)
      setLate(false)
    }
  }, [on])
  return on && late
}

/** What is being worked out and how to stop it, once it keeps one waiting. */
export const SlowWork = ({ working, what, onStop }: { working: boolean; what: string; onStop: () => void }) =>
  useLate(working) && <Working what={what} onStop={onStop} />

/** An answer, marked as that of before a change once the new one keeps one waiting. */
export const BeforeChange = ({ stale, children }: { stale: boolean; children: ReactNode }) => {
  const { t } = useStaffWords()
  const late = useLate(stale)
  return (
    <div className={late ? 'k-stack k-stale' : 'k-stack'}>
      {late && <p className="k-strong">{t('ui.stillBefore')}</p>}
      {children}
    </div>
  )
}

type AskedAnswerProps = {
  readonly state: AskedState
  readonly what: string
  /** The answer in one sentence, spoken when it arrives. */
  readonly told: string
  readonly children: ReactNode
}

/** A question that takes seconds: what is being done, what went wrong, and the answer, marked while it is that of before a change. */
export const AskedAnswer = ({ state: { working, problem, stale, stop, again }, what, told, children }: AskedAnswerProps) => (
  <div className="k-stack" aria-busy={working}>
    <SlowWork working={working} what={what} onStop={stop} />
    {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
    <p role="status" className="k-hidden">
      {working || stale ? '' : told}
    </p>
    <BeforeChange stale={stale}>{children}</BeforeChange>
  </div>
)

import type { ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { FailureBar } from '../../ui/Failure'
import { Working } from '../../ui/Waiting'
import type { AskedState } from './useAsked'
import './asked.css'

type AskedAnswerProps = {
  readonly state: AskedState
  readonly what: string
  /** The answer in one sentence, spoken when it arrives. */
  readonly told: string
  readonly children: ReactNode
}

/** A question that takes seconds: what is being done, what went wrong, and the answer, marked while it is that of before a change. */
export const AskedAnswer = ({ state: { working, problem, stale, stop, again }, what, told, children }: AskedAnswerProps) => {
  const { t } = useStaffWords()
  return (
    <div className="k-stack" aria-busy={working}>
      {working && <Working what={what} onStop={stop} />}
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      <p role="status" className="k-hidden">
        {working || stale ? '' : told}
      </p>
      <div className={stale ? 'k-stack k-stale' : 'k-stack'}>
        {stale && <p className="k-strong">{t('ui.stillBefore')}</p>}
        {children}
      </div>
    </div>
  )
}

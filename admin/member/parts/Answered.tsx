import type { ReactNode } from 'react'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import type { Answers } from '../useAnswers'

type WaitingProps<T> = { readonly answers: Answers<T>; readonly rows?: number; readonly children: (bodies: T) => ReactNode }

/** The frame of a page while the mill answers: grey rows, then the page; a failure says so above what was seen before. */
export const Answered = <T,>({ answers: { bodies, problem, reload }, rows = 3, children }: WaitingProps<T>) => (
  <>
    {problem && <FailureBar problem={problem} doing="load" onTryAgain={reload} />}
    {bodies === undefined ? !problem && <Loading rows={rows} /> : children(bodies)}
  </>
)

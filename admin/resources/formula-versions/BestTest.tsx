import { useState } from 'react'
import { Button } from '../../ui/Button'
import { AskedAnswer } from './AskedAnswer'
import { noTestTold, testRows, type AssayWorth } from './testsTold'
import { useAsked } from './useAsked'
import { useTold } from './useTold'
import type { SolveRequest } from './useSolve'

/** Which laboratory test of which lot would make the batch cheaper, and by how much. Worked out only when asked for. */
export const BestTest = ({ request }: { readonly request: SolveRequest | null }) => {
  const told = useTold()
  const { t } = told.words
  const [asked, setAsked] = useState<SolveRequest | null>(null)
  const { answer, ...state } = useAsked<AssayWorth>('/solve/assay-worth', asked)
  const overtaken = asked !== null && JSON.stringify(asked) !== JSON.stringify(request)
  const none = answer ? noTestTold(answer, told.words) : null
  const rows = answer && none === null ? testRows(answer, told) : []
  const paying = rows.some(({ pays }) => pays)
  const spoken = answer ? (none ?? (paying ? t('explain.testsHere', { smart_count: rows.length }) : t('explain.testNone'))) : ''
  return (
    <>
      {(asked === null || overtaken) && request && (
        <div className="k-actions">
          <Button onPress={() => setAsked(request)}>{t('explain.testAsk')}</Button>
        </div>
      )}
      <AskedAnswer
        state={{ ...state, stale: answer !== undefined && (state.stale || overtaken) }}
        what={t('explain.testWorking')}
        told={spoken}
      >
        {none !== null && <p>{none}</p>}
        {answer && none === null && <p>{t(paying ? 'explain.testBelow' : 'explain.testNone')}</p>}
        {rows.length > 0 && (
          <ol className="k-tests">
            {rows.map(({ key, pays, sentence, more }) => (
              <li key={key}>
                <span className={pays ? 'k-strong' : undefined}>{sentence}</span> <span className="k-caption">{more}</span>
              </li>
            ))}
          </ol>
        )}
      </AskedAnswer>
    </>
  )
}

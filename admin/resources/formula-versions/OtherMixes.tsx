import { useState } from 'react'
import { Button } from '../../ui/Button'
import { AskedAnswer } from './AskedAnswer'
import { otherMixes, type Alternatives, type OtherMix } from './mixesTold'
import { useAsked } from './useAsked'
import { useTold } from './useTold'
import type { SolveRequest } from './useSolve'

const Column = ({ mix }: { readonly mix: OtherMix }) => (
  <article className="k-other-mix" aria-label={mix.title}>
    <h3>{mix.title}</h3>
    {mix.none && <p>{mix.none}</p>}
    {mix.cost && <p className="k-strong k-tabular">{mix.cost}</p>}
    {mix.difference && <p className="k-tabular">{mix.difference}</p>}
    {mix.moved && <p className="k-tabular">{mix.moved}</p>}
    {mix.changes.length > 0 && (
      <ul className="k-tabular">
        {mix.changes.map((change) => (
          <li key={change}>{change}</li>
        ))}
      </ul>
    )}
    {mix.proven && <p className="k-caption">{mix.proven}</p>}
  </article>
)

/** Other mixes inside the same limits, side by side on a desk and one below the other on a phone. Worked out only when asked for. */
export const OtherMixes = ({ request }: { readonly request: SolveRequest | null }) => {
  const told = useTold()
  const { t } = told.words
  const [asked, setAsked] = useState<SolveRequest | null>(null)
  const { answer, ...state } = useAsked<Alternatives>('/solve/alternatives', asked)
  const overtaken = asked !== null && JSON.stringify(asked) !== JSON.stringify(request)
  const mixes = answer ? otherMixes(answer, told) : []
  const others = mixes.filter(({ none }) => none === undefined).length - 1
  const spoken = answer ? (others > 0 ? t('explain.othersHere', { smart_count: others }) : t('explain.othersNone')) : ''
  return (
    <>
      {(asked === null || overtaken) && request && (
        <div className="k-actions">
          <Button onPress={() => setAsked(request)}>{t(asked === null ? 'explain.othersShow' : 'explain.othersAgain')}</Button>
        </div>
      )}
      <AskedAnswer
        state={{ ...state, stale: answer !== undefined && (state.stale || overtaken) }}
        what={t('explain.othersWorking')}
        told={spoken}
      >
        {answer && others <= 0 && <p>{t('explain.othersNone')}</p>}
        {mixes.length > 0 && (
          <div className="k-other-mixes">
            {mixes.map((mix) => (
              <Column key={mix.key} mix={mix} />
            ))}
          </div>
        )}
      </AskedAnswer>
    </>
  )
}

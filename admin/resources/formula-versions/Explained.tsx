import { memo } from 'react'
import type { ExplanationView } from '#contract/solving'
import { Button } from '../../ui/Button'
import { LimitCosts } from '../../ui/pictures/LimitCosts'
import { PriceRanges } from '../../ui/pictures/PriceRanges'
import { AskedAnswer } from './AskedAnswer'
import { Fold } from './Fold'
import {
  certaintyTold,
  failedTold,
  firstChange,
  limitRows,
  moveTold,
  noPurchaseTold,
  priceRows,
  purchaseTold,
  type MoveTold,
} from './explainedRows'
import { useAsked } from './useAsked'
import { useTold, type Told } from './useTold'
import type { SolveRequest } from './useSolve'

type OnSet = (row: string, value: number) => void

type PartProps = { readonly view: ExplanationView; readonly told: Told }

const Costs = ({ view, told }: PartProps) => {
  const { t } = told.words
  const rows = limitRows(view, told.words, told.currency)
  const [first] = rows
  return (
    <section className="k-stack">
      <h3 className={first && 'k-hidden'}>{t('explain.limitsTitle')}</h3>
      {first ? (
        <LimitCosts
          compact
          costs={rows}
          sentence={t('mixture.costsMost', { name: first.name, from: first.from, to: first.to, money: first.savingText })}
        />
      ) : (
        <p>{t('explain.limitsNone')}</p>
      )}
      {!view.complete && <p className="k-caption">{t('explain.timeShort')}</p>}
    </section>
  )
}

/** What is not used and far from entering waits behind the picture. */
const UNUSED_SHOWN = 6

const Prices = ({ view, told }: PartProps) => {
  const { t } = told.words
  const rows = priceRows(view, told)
  // certainty lets what is used move with every price: that is one sentence, not a row each
  const used = rows.filter((row) => row.used && !row.drifts)
  const unused = rows.filter((row) => !row.used)
  const shown = [...used, ...unused.slice(0, UNUSED_SHOWN)]
  const others = unused.slice(UNUSED_SHOWN)
  if (rows.length === 0) return null
  return (
    <Fold title={t('explain.pricesTitle')}>
      {rows.some(({ drifts }) => drifts) && <p>{t('explain.driftsAll')}</p>}
      {shown.length > 0 && <PriceRanges rows={shown} sentence={firstChange(view, told)} />}
      {others.length > 0 && (
        <Fold title={t('explain.otherPrices', { smart_count: others.length })}>
          <ul className="k-changes">
            {others.map(({ key, sentence }) => (
              <li key={key}>{sentence}</li>
            ))}
          </ul>
        </Fold>
      )}
    </Fold>
  )
}

const Certainty = ({ view, told }: PartProps) => {
  const certainty = certaintyTold(view, told.words, told.currency)
  if (!certainty) return null
  return (
    <section className="k-stack">
      <h3>{told.words.t('explain.certaintyTitle')}</h3>
      <p className="k-strong">{certainty.sentence}</p>
      <ul className="k-changes">
        {certainty.rows.map(({ key, sentence }) => (
          <li key={key}>{sentence}</li>
        ))}
      </ul>
    </section>
  )
}

const Moves = ({ moves, onSet }: { readonly moves: readonly MoveTold[]; readonly onSet: OnSet }) => (
  <ul className="k-changes">
    {moves.map(({ row, to, settable, sentence }) => (
      <li key={row}>{settable ? <Button onPress={() => onSet(row, to)}>{sentence}</Button> : sentence}</li>
    ))}
  </ul>
)

const Together = ({ moves, told, onSet }: { readonly moves: readonly MoveTold[]; readonly told: Told; readonly onSet: OnSet }) => {
  const { t } = told.words
  const settable = moves.filter((move) => move.settable)
  return (
    <>
      <h3>{t('explain.allTogether')}</h3>
      <ul className="k-changes">
        {moves.map(({ row, sentence }) => (
          <li key={row}>{sentence}</li>
        ))}
      </ul>
      {settable.length > 0 && (
        <div className="k-actions">
          <Button kind="main" onPress={() => settable.forEach(({ row, to }) => onSet(row, to))}>
            {t('explain.setAll')}
          </Button>
        </div>
      )}
    </>
  )
}

/** What to buy out of the offers, or why nothing helps; beside it the way to the offers. */
const Buying = ({ view, told }: PartProps) => {
  const { t } = told.words
  const purchase = purchaseTold(view, told)
  const none = noPurchaseTold(view, told.words)
  if (!purchase && none === null) return null
  return (
    <>
      {purchase && (
        <>
          <h3>{t('explain.orBuy')}</h3>
          <ul className="k-changes">
            {purchase.rows.map(({ key, sentence }) => (
              <li key={key}>{sentence}</li>
            ))}
          </ul>
          <p className="k-strong">{purchase.total}</p>
          {purchase.notes.map((note) => (
            <p key={note}>{note}</p>
          ))}
        </>
      )}
      {none !== null && <p>{none}</p>}
      <div>
        <a className="k-button" href="#/supplier-offers">
          {t('explain.buyOffers')}
        </a>
      </div>
    </>
  )
}

const Ways = ({ view, told, onSet }: PartProps & { readonly onSet: OnSet }) => {
  const { t } = told.words
  const single = view.relaxations.map((move) => moveTold(move, told.words))
  const together = view.together.map((move) => moveTold(move, told.words))
  return (
    <section className="k-stack">
      {single.length > 0 && (
        <>
          <h3>{t('explain.anyOne')}</h3>
          <Moves moves={single} onSet={onSet} />
        </>
      )}
      {together.length > 0 && <Together moves={together} told={told} onSet={onSet} />}
      {single.length + together.length === 0 && <p>{t('explain.noChange')}</p>}
      <Buying view={view} told={told} />
    </section>
  )
}

const spoken = (view: ExplanationView | undefined, { words: { t, nameOf } }: Told): string => {
  if (!view) return ''
  if (view.kind === 'failed') return failedTold(view.reason, { t, nameOf })
  const ways = view.relaxations.length + (view.together.length > 0 ? 1 : 0)
  return view.kind === 'infeasible' ? t('explain.waysFound', { smart_count: ways }) : t('explain.here')
}

type ExplanationProps = PartProps & { readonly onSet: OnSet }
const Explanation = memo(function Explanation({ view, told, onSet }: ExplanationProps) {
  switch (view.kind) {
    case 'optimal':
      return (
        <>
          <Costs view={view} told={told} />
          <Certainty view={view} told={told} />
          <Prices view={view} told={told} />
        </>
      )
    case 'infeasible':
      return <Ways view={view} told={told} onSet={onSet} />
    case 'failed':
      return <p>{failedTold(view.reason, told.words)}</p>
    default:
      return view.kind satisfies never
  }
})

type ExplainedProps = {
  readonly request: SolveRequest | null
  readonly onSet: OnSet
  /** When the feed is needed, where that is known. */
  readonly neededOn: string | null
}

/** Why the mix of a request costs what it costs; where there is none, what would make one, each change with its button. */
export const Explained = ({ request, onSet, neededOn }: ExplainedProps) => {
  const told = useTold()
  const { answer: view, ...state } = useAsked<ExplanationView>('/solve/explain', request && { ...request, neededOn })
  return (
    <AskedAnswer state={state} what={told.words.t('explain.working')} told={spoken(view, told)}>
      {view && <Explanation view={view} told={told} onSet={onSet} />}
    </AskedAnswer>
  )
}

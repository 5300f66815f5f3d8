import { useQueries } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { MixView } from '#contract/formulas'
import { formatDate, formatTime, isoDay } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { Medicated } from '../../resources/batches/batchParts'
import { useWide } from '../../shell/useWide'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { StateWord, type StateOf } from '../../ui/StateWord'
import { DecisionRow } from './decisions'
import { Few } from './Few'
import { HomePage, OpenLink, useNames } from './HomePage'
import type { Home } from './useHome'

const SHOWN = { wide: 6, phone: 3 } as const
const SOON_DAYS = 7
/** More waiting orders than this are not worked out on a home page. */
const MOST_SOLVED = 6
const STATES: readonly StateOf<'batch'>[] = ['planned', 'being-weighed', 'on-hold']

const Decide = ({ home }: { home: Home }) => {
  const { t } = useStaffWords()
  const wide = useWide()
  // one of each kind first: a long list of orders must not push a lot that waits out of sight
  const kinds = [...new Set(home.decide.map(({ kind }) => kind))]
  const firsts = kinds.flatMap((kind) => home.decide.filter((decision) => decision.kind === kind).slice(0, 1))
  const rest = home.decide.filter((decision) => !firsts.includes(decision))
  const shown = [...firsts, ...rest].slice(0, wide ? SHOWN.wide : SHOWN.phone)
  const more = home.decide.length > shown.length && (
    <OpenLink href="#/decide">{t('homes.decide.more', { count: home.decide.length })}</OpenLink>
  )
  return (
    <Card title={`${t('homes.decide.title')} (${home.decide.length})`} action={more}>
      {home.decide.length === 0 && <p>{t('homes.decide.none')}</p>}
      <div>
        {shown.map((decision) => (
          <DecisionRow key={decision.id} decision={decision} />
        ))}
      </div>
    </Card>
  )
}

/** Can what waits be made from the lots released now? Each waiting order is worked out on its own. */
const CanBeMade = ({ home }: { home: Home }) => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const waiting = home.decide.filter(({ kind }) => kind === 'plan-order').slice(0, MOST_SOLVED)
  const answers = useQueries({
    queries: waiting.map(({ id }) => ({
      queryKey: ['order-solution', id],
      queryFn: () => mill.act<MixView>('GET', `/orders/${id}/solution`),
      staleTime: 60_000,
      retry: false,
    })),
  })
  if (waiting.length === 0) return <p>{t('homes.day.noneToPlan')}</p>
  if (answers.some(({ isPending }) => isPending)) return <p role="status">{t('homes.day.checking')}</p>
  const refused = waiting.filter((_, index) => {
    const mix = answers[index]?.data
    return !mix || mix.kind !== 'optimal' || mix.findings.some(({ severity }) => severity === 'block')
  })
  return (
    <div className="k-verdict-line k-strong">
      <CheckShape verdict={refused.length === 0 ? 'pass' : 'warn'} size={20} />
      <span>
        {refused.length === 0 ? t('homes.day.can') : t('homes.day.cannot', { smart_count: refused.length })}{' '}
        {refused.map(({ id, label }) => (
          <a key={id} href={`#/orders/${id}/plan`}>
            {t('order.named', { number: label })}{' '}
          </a>
        ))}
      </span>
    </div>
  )
}

const Day = ({ home }: { home: Home }) => {
  const { t } = useStaffWords()
  const { feed } = useNames()
  const kg = home.loads.reduce((sum, load) => sum + Number(load.loadKg), 0).toFixed(3)
  const told =
    home.loads.length === 0
      ? t('homes.day.none', { done: home.loadsDone })
      : t('homes.day.told', { smart_count: home.loads.length, kg: formatKg(kg, 0), done: home.loadsDone })
  return (
    <Card title={t('homes.day.title')} action={<OpenLink href="#/gate-price">{t('gate.title')}</OpenLink>}>
      <p className="k-strong k-tabular">{told}</p>
      <CanBeMade home={home} />
      <Few rows={home.loads}>
        {(load) => {
          const state = STATES.find((known) => known === load.status)
          return (
            <span className="k-home-line">
              <a className="k-home-line" href={`#/batches/${load.id}/show`}>
                {t('load.title', { number: load.number, feed: feed(load) })}, {formatKg(load.loadKg, 0)}
              </a>
              {state && <StateWord thing="batch" state={state} />}
              {load.medicated && <Medicated />}
            </span>
          )
        }}
      </Few>
    </Card>
  )
}

const Worse = ({ home }: { home: Home }) => {
  const { t, language } = useStaffWords()
  const { ingredient } = useNames()
  const today = isoDay(home.at)
  const soon = home.endsFirst.filter(({ daysLeft }) => daysLeft <= SOON_DAYS)
  const late = home.orders.filter(({ dueOn, status }) => dueOn < today && status !== 'ready')
  return (
    <Card title={t('homes.worse.title')}>
      {home.booksWhole !== null && (
        <p className="k-verdict-line k-strong">
          <CheckShape verdict={home.booksWhole ? 'pass' : 'block'} size={20} />
          <span>{home.booksWhole ? t('homes.books.whole', { time: formatTime(home.at) }) : t('homes.books.broken')}</span>
        </p>
      )}
      <Few rows={late}>
        {(order) => (
          <a className="k-home-line" href={`#/orders/${order.id}/show`}>
            {t('homes.worse.late', { number: order.number, member: order.memberName, date: formatDate(order.dueOn, language) })}
          </a>
        )}
      </Few>
      <Few rows={soon}>
        {(lot) => (
          <a className="k-home-line" href={`#/lots/${lot.id}/show`}>
            {t(lot.daysLeft === 0 ? 'homes.worse.expired' : 'homes.worse.expires', {
              number: lot.number,
              name: ingredient(lot),
              days: t('unit.days', { smart_count: lot.daysLeft }),
              kg: formatKg(lot.freeKg, 0),
            })}
          </a>
        )}
      </Few>
      {soon.length === 0 && <p>{t('homes.worse.none')}</p>}
    </Card>
  )
}

/** What waits for the manager, whether today's orders can be made, and what got worse. */
const ManagerHome = () => (
  <HomePage title="nav.morning">
    {(home) => (
      <div className="k-columns">
        <Decide home={home} />
        <div className="k-stack">
          <Day home={home} />
          <Worse home={home} />
        </div>
      </div>
    )}
  </HomePage>
)

export default ManagerHome

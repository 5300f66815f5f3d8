import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { Icon } from '../../ui/Shape'
import { StateWord, type StateOf } from '../../ui/StateWord'
import { Few } from './Few'
import { HomePage, OpenLink, useNames } from './HomePage'
import { ToHandOver } from './store-keeper'
import type { Home } from './useHome'

const STATES: readonly StateOf<'order'>[] = ['ordered', 'planned', 'being-mixed', 'ready']

const Open = ({ rows }: { rows: Home['orders'] }) => {
  const { t, language } = useStaffWords()
  const { feed } = useNames()
  const waiting = rows.filter(({ status }) => status !== 'ready')
  return (
    <Card title={t('homes.counter.open')}>
      {waiting.length === 0 && <p>{t('homes.counter.noneOpen')}</p>}
      <Few rows={waiting} onPhone={5}>
        {(row) => {
          const state = STATES.find((known) => known === row.status)
          return (
            <span className="k-home-line">
              <a className="k-home-line" href={`#/orders/${row.id}/show`}>
                {t('order.named', { number: row.number })}, {row.memberName}
              </a>
              <span>
                <span className="k-tabular">{formatKg(row.kg, 0)}</span> {feed(row)},{' '}
                {t('homes.counter.due', { date: formatDate(row.dueOn, language) })} {state && <StateWord thing="order" state={state} />}
              </span>
            </span>
          )
        }}
      </Few>
    </Card>
  )
}

/** Who comes to order, who comes to collect, and what is not ready yet. */
const CounterClerkHome = () => {
  const { t } = useStaffWords()
  return (
    <HomePage title="nav.today">
      {(home) => (
        <>
          <div className="k-two-buttons">
            <OpenLink href="#/orders/create" main>
              <Icon name="order" size={20} /> {t('homes.counter.order')}
            </OpenLink>
            <OpenLink href="#/hand-over" main>
              <Icon name="handover" size={20} /> {t('homes.counter.handOver')}
            </OpenLink>
          </div>
          <div className="k-columns">
            <ToHandOver rows={home.toHandOver} />
            <Open rows={home.orders} />
          </div>
        </>
      )}
    </HomePage>
  )
}

export default CounterClerkHome

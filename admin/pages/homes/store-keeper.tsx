import { formatDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card, Row } from '../../ui/Card'
import { Icon } from '../../ui/Shape'
import { HomePage, OpenLink, useNames } from './HomePage'
import type { Home } from './useHome'

export const totalKg = (rows: readonly { readonly kg: string }[]): string => rows.reduce((sum, { kg }) => sum + Number(kg), 0).toFixed(3)

export const ToHandOver = ({ rows }: { rows: Home['toHandOver'] }) => {
  const { t } = useStaffWords()
  const { feed } = useNames()
  return (
    <Card title={t('homes.store.toHandOver')} action={<OpenLink href="#/hand-over">{t('homes.store.handOver')}</OpenLink>}>
      {rows.length === 0 && <p>{t('homes.store.noneReady')}</p>}
      {rows.length > 0 && (
        <>
          <p className="k-strong k-tabular">{t('homes.store.toHandOverTold', { smart_count: rows.length, kg: formatKg(totalKg(rows)) })}</p>
          <ul className="k-quiet-list">
            {rows.slice(0, 4).map((row) => (
              <li key={row.id}>
                {t('order.named', { number: row.number })}, {row.memberName}: <span className="k-tabular">{formatKg(row.kg)}</span>{' '}
                {feed(row)}
              </li>
            ))}
          </ul>
        </>
      )}
    </Card>
  )
}

/** Lots on hold, and whose move each is. */
export const OnHold = ({ rows }: { rows: Home['onHold'] }) => {
  const { t } = useStaffWords()
  const { ingredient } = useNames()
  return (
    <Card title={t('homes.store.onHold')}>
      {rows.length === 0 && <p>{t('homes.store.noneHeld')}</p>}
      <div>
        {rows.map((row) => (
          <Row
            key={row.id}
            action={
              <OpenLink
                href={`#/lots/${row.id}/show`}
                label={`${t('action.open')}: ${t('homes.store.lot', { number: row.number, name: ingredient(row) })}`}
              >
                {t('action.open')}
              </OpenLink>
            }
          >
            <b>{t('homes.store.lot', { number: row.number, name: ingredient(row) })}</b>
            <br />
            {t(row.waitsFor === 'tests' ? 'homes.store.withLab' : 'homes.store.withManager')},{' '}
            <span className="k-tabular">{formatKg(row.kg)}</span>
          </Row>
        ))}
      </div>
    </Card>
  )
}

export const EndsFirst = ({ rows }: { rows: Home['endsFirst'] }) => {
  const { t, language } = useStaffWords()
  const { ingredient } = useNames()
  return (
    <Card title={t('homes.store.ends')}>
      {rows.length === 0 && <p>{t('homes.store.noneEnds')}</p>}
      <ul className="k-quiet-list k-stack">
        {rows.map((row) => (
          <li key={row.id}>
            <a href={`#/lots/${row.id}/show`}>{t('homes.store.lot', { number: row.number, name: ingredient(row) })}</a>:{' '}
            {row.daysLeft === 0 ? t('homes.store.lastDay') : t('unit.days', { smart_count: row.daysLeft })},{' '}
            {formatDate(row.expiresOn, language)}, <span className="k-tabular">{formatKg(row.freeKg)}</span>
          </li>
        ))}
      </ul>
    </Card>
  )
}

/** What arrives and goes today, what is on hold and whose move it is, what ends first. */
const StoreKeeperHome = () => {
  const { t } = useStaffWords()
  return (
    <HomePage title="nav.today">
      {(home) => (
        <>
          <div className="k-two-buttons">
            <OpenLink href="#/lots/create" main>
              <Icon name="receive" size={20} /> {t('homes.store.receive')}
            </OpenLink>
            <OpenLink href="#/hand-over" main>
              <Icon name="handover" size={20} /> {t('homes.store.handOver')}
            </OpenLink>
          </div>
          <div className="k-columns">
            <ToHandOver rows={home.toHandOver} />
            <OnHold rows={home.onHold} />
            <EndsFirst rows={home.endsFirst} />
          </div>
        </>
      )}
    </HomePage>
  )
}

export default StoreKeeperHome

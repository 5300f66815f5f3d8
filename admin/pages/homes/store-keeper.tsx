import { formatShortDate } from '../../format/dates'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { Icon } from '../../ui/Shape'
import { Few } from './Few'
import { HomePage, OpenLink, useNames } from './HomePage'
import type { Home } from './useHome'

export const totalKg = (rows: readonly { readonly kg: string }[]): string => rows.reduce((sum, { kg }) => sum + Number(kg), 0).toFixed(3)

export const ToHandOver = ({ rows }: { rows: Home['toHandOver'] }) => {
  const { t } = useStaffWords()
  return (
    <Card title={t('homes.store.toHandOver')}>
      {rows.length === 0 && <p>{t('homes.store.noneReady')}</p>}
      {rows.length > 0 && (
        <p className="k-strong k-tabular">{t('homes.store.toHandOverTold', { smart_count: rows.length, kg: formatKg(totalKg(rows)) })}</p>
      )}
      <Few rows={rows}>
        {(row) => (
          <>
            {t('order.named', { number: row.number })}, {row.memberName}: <span className="k-tabular">{formatKg(row.kg)}</span>
          </>
        )}
      </Few>
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
      <Few rows={rows}>
        {(row) => (
          <span className="k-home-line">
            <a className="k-home-line" href={`#/lots/${row.id}/show`}>
              {t('homes.store.lot', { number: row.number, name: ingredient(row) })}
            </a>
            <span>{t(row.waitsFor === 'tests' ? 'homes.store.withLab' : 'homes.store.withManager')}</span>
          </span>
        )}
      </Few>
    </Card>
  )
}

export const EndsFirst = ({ rows }: { rows: Home['endsFirst'] }) => {
  const { t, language } = useStaffWords()
  const { ingredient } = useNames()
  return (
    <Card title={t('homes.store.ends')}>
      {rows.length === 0 && <p>{t('homes.store.noneEnds')}</p>}
      <Few rows={rows}>
        {(row) => (
          <span className="k-home-line">
            <a className="k-home-line" href={`#/lots/${row.id}/show`}>
              {t('homes.store.lot', { number: row.number, name: ingredient(row) })}
            </a>
            <span>
              {row.daysLeft === 0 ? t('homes.store.lastDay') : t('unit.days', { smart_count: row.daysLeft })},{' '}
              {formatShortDate(row.expiresOn, language)}, <span className="k-tabular">{formatKg(row.freeKg, 0)}</span>
            </span>
          </span>
        )}
      </Few>
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
          <p>
            <OpenLink href="#/gate-price">
              <Icon name="supplier" size={20} /> {t('gate.title')}
            </OpenLink>
          </p>
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

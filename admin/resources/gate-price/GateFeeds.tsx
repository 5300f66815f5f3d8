import type { GatePriceView } from '#contract/gate-price'
import { formatAccount } from '../../format/money'
import { formatKg } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { Card } from '../../ui/Card'
import { largest, totalChanges, type Change, type Feed } from './gateChanges'

const Changes = ({ title, changes }: { title: string; changes: readonly Change[] }) => {
  const { t, language } = useStaffWords()
  const currency = useCurrency()
  const { shown, rest } = largest(changes)
  const told = (change: Change): string => {
    const facts = {
      kg: formatKg(Math.abs(change.kg), 0),
      name: language === 'en' ? change.ingredientNameEn : change.ingredientNameSw,
      price: formatAccount(change.pricePerKg, currency),
    }
    if (change.lotNumber !== null) return t('gate.ofLot', { ...facts, number: change.lotNumber })
    return change.supplierName === null ? t('gate.ofBought', facts) : t('gate.ofOffer', { ...facts, supplier: change.supplierName })
  }
  if (shown.length === 0) return null
  return (
    <div className="k-gate-changes">
      <p>{title}</p>
      <ul>
        {shown.map((change) => (
          <li key={change.lotId}>{told(change)}</li>
        ))}
        {rest > 0 && <li>{t('gate.smaller', { smart_count: rest })}</li>}
      </ul>
    </div>
  )
}

const Both = ({ changes }: { changes: readonly Change[] }) => {
  const { t } = useStaffWords()
  return (
    <>
      <Changes title={t('gate.insteadOf')} changes={changes.filter(({ kg }) => kg < 0)} />
      <Changes title={t('gate.withMore')} changes={changes.filter(({ kg }) => kg > 0)} />
    </>
  )
}

/** What a feed takes and until which price, or why it takes none: one line. `allGone`: others would use all of the truck. */
const useLine = (allGone: boolean) => {
  const { t, language } = useStaffWords()
  const currency = useCurrency()
  const stops = ({ state, unknown, stopsAt, usedKg }: Feed): string => {
    if (state === 'only-with-truck') return t('gate.onlyWithTruck')
    if (state === 'impossible') return t('gate.impossible')
    if (unknown !== null) return t('gate.unknown', { nutrient: t(`nutrient.${unknown}` as StaffKey) })
    if (stopsAt === null) return t(allGone ? 'gate.worthMore' : 'gate.neverTakes')
    return t(Number(usedKg) > 0 ? 'gate.stopsAt' : 'gate.wouldBelow', { price: formatAccount(stopsAt, currency) })
  }
  return (feed: Feed): string => {
    const name = language === 'en' ? feed.nameEn : feed.nameSw
    const used = Number(feed.usedKg)
    const takes = used > 0 ? t('gate.takes', { feed: name, kg: formatKg(used, 0) }) : t('gate.takesNone', { feed: name })
    return `${takes}. ${stops(feed)}`
  }
}

const Wanted = ({ feed: { wantedBy, wantedKg } }: { feed: Feed }) => {
  const { t } = useStaffWords()
  return <p className="k-caption">{t(wantedBy === 'orders' ? 'gate.wantedOrders' : 'gate.wantedRecent', { kg: formatKg(wantedKg, 0) })}</p>
}

/** The reasons: what the truck takes the place of in all, then feed by feed, those that take the most first. */
export const GateFeeds = ({ view }: { view: GatePriceView }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const line = useLine(view.mostKg === view.kg)
  const taking = view.feeds.filter(({ usedKg }) => Number(usedKg) > 0).toSorted((a, b) => Number(b.usedKg) - Number(a.usedKg))
  const others = view.feeds.filter(({ usedKg }) => Number(usedKg) === 0)
  const title = view.explainedAt === null ? t('gate.feeds') : t('gate.replaces', { price: formatAccount(view.explainedAt, currency) })
  if (view.feeds.length === 0) return null
  return (
    <Card title={title}>
      <div className="k-stack">
        <Both changes={totalChanges(taking)} />
        {taking.map((feed) => (
          <details key={feed.formulaId} className="k-fold">
            <summary>{line(feed)}</summary>
            <Both changes={totalChanges([feed])} />
            <Wanted feed={feed} />
          </details>
        ))}
        {others.map((feed) => (
          <div key={feed.formulaId}>
            <p>{line(feed)}</p>
            <Wanted feed={feed} />
          </div>
        ))}
        <p className="k-caption">{t('gate.how')}</p>
      </div>
    </Card>
  )
}

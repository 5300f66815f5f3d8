import { OFFER_STATES } from '#contract/purchasing'
import { formatAccount } from '../../format/money'
import { useMay } from '../../providers/useMay'
import { ServerList, type ListColumn } from '../../shell/ServerList'
import { usePageTitle } from '../../shell/usePageTitle'
import { Empty } from '../../ui/Waiting'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import { daysTold, mostTold, packsTold, priceTold, stateTold, type Offer } from './offerWords'
import { useOfferWords } from './useOfferWords'
import '../lots/lots.css'

/** What suppliers offer: those that stand the longest first, so that what can be bought is above what has expired. */
const OfferList = () => {
  const words = useOfferWords()
  const { t, currency } = words
  const may = useMay()
  const nameOf = useIngredientName()
  usePageTitle(t('offers.title'))
  const what = (row: Offer) => <WithPicture pictogram={row.pictogram}>{nameOf(ingredientOf(row))}</WithPicture>
  const columns: ListColumn<Offer>[] = [
    { key: 'what', title: t('offers.column.what'), cell: what },
    { key: 'who', title: t('offers.column.who'), cell: (row) => row.supplierName },
    {
      key: 'price',
      title: t('offers.column.price'),
      right: true,
      sortBy: 'pricePerKg',
      cell: (row) => formatAccount(row.pricePerKg, currency),
    },
    { key: 'packs', title: t('offers.column.packs'), cell: (row) => packsTold(row, words) },
    { key: 'most', title: t('offers.column.most'), cell: (row) => mostTold(row, words) },
    { key: 'when', title: t('offers.column.when'), sortBy: 'deliveryDays', cell: (row) => daysTold(row, words) },
    { key: 'state', title: t('offers.column.state'), sortBy: 'validUntil', cell: (row) => stateTold(row, words) },
  ]
  const add = may('create', 'supplier-offers') && (
    <a className="k-button" data-kind="main" href="#/supplier-offers/create">
      {t('offers.add')}
    </a>
  )
  return (
    <div className="k-page">
      <div className="k-card-head">
        <h1>{t('offers.title')}</h1>
        {add}
      </div>
      <p>{t('offers.lead')}</p>
      <ServerList<Offer>
        resource="supplier-offers"
        sort={{ field: 'validUntil', order: 'DESC' }}
        search
        filters={OFFER_STATES.map((state) => ({ key: state, label: t(`offers.state.${state}`), filter: { state } }))}
        columns={columns}
        href={(row) => `/supplier-offers/${row.id}/show`}
        card={(row) => (
          <>
            <span className="k-strong">{what(row)}</span>
            <span>
              {row.supplierName}, {priceTold(row, words)}
            </span>
            <span>{packsTold(row, words)}</span>
            <span className="k-caption">
              {daysTold(row, words)}; {stateTold(row, words)}
            </span>
          </>
        )}
        empty={<Empty action={add}>{t('offers.empty')}</Empty>}
      />
    </div>
  )
}

export default OfferList

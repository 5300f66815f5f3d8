import { useGetList } from 'react-admin'
import { useMay } from '../../providers/useMay'
import { asProblem } from '../../shell/useAct'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import { daysTold, packsTold, priceTold, stateTold, type Offer } from './offerWords'
import { useOfferWords } from './useOfferWords'
import '../lots/lots.css'

const SHOWN = 6

const OfferRow = ({ offer }: { offer: Offer }) => {
  const words = useOfferWords()
  const nameOf = useIngredientName()
  return (
    <Row
      action={
        <a className="k-button" href={`#/supplier-offers/${offer.id}/show`}>
          {words.t('action.open')}
          <span className="k-hidden"> {nameOf(ingredientOf(offer))}</span>
        </a>
      }
    >
      <div className="k-strong">
        <WithPicture pictogram={offer.pictogram}>{nameOf(ingredientOf(offer))}</WithPicture>
      </div>
      <div>
        {priceTold(offer, words)}; {packsTold(offer, words)}
      </div>
      <div className="k-caption">
        {daysTold(offer, words)}; {stateTold(offer, words)}
      </div>
    </Row>
  )
}

/** What one supplier offers, on the supplier's page: what stands the longest first. */
export const OffersOfSupplier = ({ supplierId }: { supplierId: string }) => {
  const { t } = useOfferWords()
  const may = useMay()
  const reads = may('list', 'supplier-offers')
  const { data, total, error, isPending, refetch } = useGetList<Offer>(
    'supplier-offers',
    { pagination: { page: 1, perPage: SHOWN }, sort: { field: 'validUntil', order: 'DESC' }, filter: { supplierId } },
    { enabled: reads },
  )
  if (!reads) return null
  const filter = encodeURIComponent(JSON.stringify({ supplierId }))
  return (
    <Card
      title={t('offers.ofSupplier')}
      action={may('create', 'supplier-offers') && <a href={`#/supplier-offers/create?supplier=${supplierId}`}>{t('offers.add')}</a>}
    >
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={2} />}
      {data?.length === 0 && <p>{t('offers.ofSupplierNone')}</p>}
      {data?.map((offer) => (
        <OfferRow key={offer.id} offer={offer} />
      ))}
      {total !== undefined && total > SHOWN && <a href={`#/supplier-offers?filter=${filter}`}>{t('offers.allOfSupplier')}</a>}
    </Card>
  )
}

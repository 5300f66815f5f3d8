import { useGetList } from 'react-admin'
import { useMay } from '../../providers/useMay'
import { asProblem } from '../../shell/useAct'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { daysTold, packsTold, priceTold, stateTold, type Offer } from '../offers/offerWords'
import { useOfferWords } from '../offers/useOfferWords'

const SHOWN = 6

/** Who offers an ingredient today, the cheapest first. */
export const StandingOffers = ({ ingredientId }: { ingredientId: string }) => {
  const words = useOfferWords()
  const { t } = words
  const reads = useMay()('list', 'supplier-offers')
  const filter = { ingredientId, state: 'standing' }
  const { data, total, error, isPending, refetch } = useGetList<Offer>(
    'supplier-offers',
    { pagination: { page: 1, perPage: SHOWN }, sort: { field: 'pricePerKg', order: 'ASC' }, filter },
    { enabled: reads },
  )
  if (!reads) return null
  return (
    <Card title={t('ingredients.offers')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={2} />}
      {data?.length === 0 && <p>{t('ingredients.offersNone')}</p>}
      {data?.map((offer) => (
        <Row
          key={offer.id}
          action={
            <a className="k-button" href={`#/supplier-offers/${offer.id}/show`}>
              {t('action.open')}
              <span className="k-hidden"> {offer.supplierName}</span>
            </a>
          }
        >
          <div className="k-strong">
            {offer.supplierName}, {priceTold(offer, words)}
          </div>
          <div>{packsTold(offer, words)}</div>
          <div className="k-caption">
            {daysTold(offer, words)}; {stateTold(offer, words)}
          </div>
        </Row>
      ))}
      {total !== undefined && total > SHOWN && (
        <a href={`#/supplier-offers?filter=${encodeURIComponent(JSON.stringify(filter))}`}>{t('action.showAll')}</a>
      )}
    </Card>
  )
}

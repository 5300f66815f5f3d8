import { useParams } from 'react-router-dom'
import { formatDate } from '../../format/dates'
import { useMay } from '../../providers/useMay'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { ingredientOf, useIngredientName, WithPicture } from '../ingredients/names'
import { daysTold, mostTold, packsTold, priceTold, stateTold, type Offer } from './offerWords'
import { useOfferWords } from './useOfferWords'
import '../lots/lots.css'

const Facts = ({ offer }: { offer: Offer }) => {
  const words = useOfferWords()
  const nameOf = useIngredientName()
  const { t, language } = words
  const days = daysTold(offer, words)
  return (
    <Card>
      <dl className="k-facts">
        <dt>{t('offers.column.what')}</dt>
        <dd>
          <WithPicture pictogram={offer.pictogram}>{nameOf(ingredientOf(offer))}</WithPicture>
        </dd>
        <dt>{t('offers.column.who')}</dt>
        <dd>
          <a href={`#/suppliers/${offer.supplierId}/show`}>{offer.supplierName}</a>
        </dd>
        <dt>{t('offers.column.price')}</dt>
        <dd>{priceTold(offer, words)}</dd>
        <dt>{t('offers.column.packs')}</dt>
        <dd>{packsTold(offer, words)}</dd>
        <dt>{t('offers.column.most')}</dt>
        <dd>{mostTold(offer, words)}</dd>
        <dt>{t('offers.column.when')}</dt>
        <dd>{offer.state === 'standing' ? t('offers.arrives', { when: days, day: formatDate(offer.arrivesOn, language) }) : days}</dd>
        <dt>{t('offers.column.state')}</dt>
        <dd>{stateTold(offer, words)}</dd>
        <dt>{t('offers.column.note')}</dt>
        <dd>{offer.note || t('offers.noNote')}</dd>
        <dt>{t('offers.column.noted')}</dt>
        <dd>{t('offers.noted', { who: offer.notedBy, day: formatDate(offer.notedAt, language) })}</dd>
      </dl>
      <p className="k-caption">{t('offers.neverEdited')}</p>
    </Card>
  )
}

const OfferShow = () => {
  const { t } = useOfferWords()
  const { id = '' } = useParams()
  const may = useMay()
  const nameOf = useIngredientName()
  const { data: offer, error, refetch } = useWhole<Offer>('supplier-offers', id)
  const title = offer
    ? t('offers.named', { number: offer.number, name: nameOf(ingredientOf(offer)), supplier: offer.supplierName })
    : t('offers.title')
  usePageTitle(title)
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!offer && !error && <Loading rows={4} />}
      {offer && (
        <>
          <h1>{title}</h1>
          <Facts offer={offer} />
          <div className="k-actions">
            {may('create', 'supplier-offers') && (
              <a className="k-button" href={`#/supplier-offers/create?like=${offer.id}`}>
                {t('offers.similar')}
              </a>
            )}
            {may('withdraw', 'supplier-offers') && offer.state !== 'withdrawn' && (
              <a className="k-button" data-kind="danger" href={`#/supplier-offers/${offer.id}/withdraw`}>
                {t('offers.withdraw')}
              </a>
            )}
          </div>
        </>
      )}
    </div>
  )
}

export default OfferShow

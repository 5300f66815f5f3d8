import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { useMay } from '../providers/useMay'
import { useWhole } from '../providers/useWhole'
import { ingredientOf, useIngredientName } from '../resources/ingredients/names'
import { packsTold, priceTold, type Offer } from '../resources/offers/offerWords'
import { useOfferWords } from '../resources/offers/useOfferWords'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

const Withdraw = ({ offer, title }: { offer: Offer; title: string }) => {
  const words = useOfferWords()
  const { t } = words
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem } = useAct()
  const back = () => void navigate(`/supplier-offers/${offer.id}/show`)
  const withdraw = async ({ reason }: { reason: string }) => {
    const path = `/supplier-offers/${offer.id}/withdraw`
    const done = await send<Offer>({ method: 'POST', path, body: { reason }, revision: offer.revision })
    await cache.invalidateQueries()
    if (done) back()
  }
  const facts = { price: priceTold(offer, words), packs: packsTold(offer, words), supplier: offer.supplierName }
  return (
    <EffectPage
      title={title}
      danger
      effect={<p>{t('offers.withdrawEffect', facts)}</p>}
      confirmLabel={t('offers.withdrawButton', { number: offer.number })}
      reasonLabel={t('offers.withdrawReason')}
      onConfirm={withdraw}
      onCancel={back}
      problem={problem}
    />
  )
}

/** An offer is withdrawn on a page of its own, with the reason that stays with it. */
const WithdrawOffer = () => {
  const { t } = useOfferWords()
  const { id = '' } = useParams()
  const may = useMay()
  const nameOf = useIngredientName()
  const { data: offer, error, refetch } = useWhole<Offer>('supplier-offers', id)
  const title = offer ? t('offers.withdrawTitle', { number: offer.number, name: nameOf(ingredientOf(offer)) }) : t('offers.withdraw')
  usePageTitle(title)
  if (error && !offer) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (!offer) return <Loading rows={3} />
  const open = offer.state !== 'withdrawn'
  if (open && may('withdraw', 'supplier-offers')) return <Withdraw offer={offer} title={title} />
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{t(open ? 'page.notYours' : 'offers.notPossible')}</p>
      <div>
        <a className="k-button" href={`#/supplier-offers/${offer.id}/show`}>
          {t('offers.toOffer', { number: offer.number })}
        </a>
      </div>
    </div>
  )
}

export default WithdrawOffer

import type { MillView } from '#contract/mill'
import { useMemberWords } from '../../i18n/words'
import { usePageTitle } from '../../shell/usePageTitle'
import { Choice } from '../../ui/Choice'
import { Empty } from '../../ui/Waiting'
import { ageWords, OFFERS, type Offer } from '../model'
import { Answered } from '../parts/Answered'
import { OrderForm } from '../parts/OrderForm'
import { goTo } from '../router'
import { useAnswers } from '../useAnswers'

const useFlockLine = () => {
  const { t } = useMemberWords()
  return ({ flockName, birds, ageWeeks }: Offer): string =>
    `${flockName}: ${t('unit.birds', { smart_count: birds })}, ${ageWords(ageWeeks * 7, t)}`
}

type ForFlockProps = { readonly offers: readonly Offer[]; readonly mill: MillView; readonly flockId: string | undefined }

const ForFlock = ({ offers, mill, flockId }: ForFlockProps) => {
  const { t } = useMemberWords()
  const flockLine = useFlockLine()
  const [first] = offers
  const offer = offers.find(({ id }) => id === flockId) ?? first
  if (!offer)
    return (
      <Empty
        action={
          <a className="k-button" data-kind="main" href="#/birds/new">
            {t('member.birds.add')}
          </a>
        }
      >
        {t('member.order.noFlocks')}
      </Empty>
    )
  return (
    <>
      {offers.length === 1 ? (
        <p>{flockLine(offer)}</p>
      ) : (
        <Choice
          label={t('member.order.which')}
          value={offer.id}
          onChange={(id) => goTo(`/order/${id}`)}
          choices={offers.map((one) => ({ value: one.id, label: flockLine(one) }))}
        />
      )}
      <OrderForm key={offer.id} offer={offer} mill={mill} />
    </>
  )
}

/** One page from the proposal to the order: flock, feed, bags, day, price, one button. */
const OrderPage = ({ params }: { params: Readonly<Record<string, string>> }) => {
  const { t } = useMemberWords()
  const answers = useAnswers<[readonly Offer[], MillView]>(OFFERS, '/mill')
  usePageTitle(t('member.order.title'))
  return (
    <div className="k-page m-page m-order">
      <h1>{t('member.order.title')}</h1>
      <Answered answers={answers}>{([offers, mill]) => <ForFlock offers={offers} mill={mill} flockId={params['flockId']} />}</Answered>
    </div>
  )
}

export default OrderPage

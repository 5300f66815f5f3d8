import { useEffect, useState } from 'react'
import { useGetList } from 'react-admin'
import { useSearchParams } from 'react-router-dom'
import { formatNumber } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Empty, Loading } from '../../ui/Waiting'
import type { Member } from '../members/memberModel'
import { ChooseMember } from './ChooseMember'
import { OrderForm } from './OrderForm'
import type { Offer, Order } from './orderModel'
import { Receipt } from './Receipt'
import '../formula-versions/version.css'

const MOST_FLOCKS = 50

type FlocksProps = { readonly offers: readonly Offer[]; readonly value: string; readonly onChange: (flockId: string) => void }

const Flocks = ({ offers, value, onChange }: FlocksProps) => {
  const { t } = useStaffWords()
  return (
    <fieldset className="k-field">
      <legend>{t('counter.flock')}</legend>
      <div className="k-stack">
        {offers.map((offer) => (
          <label key={offer.id} className="k-choice" data-chosen={offer.id === value || undefined}>
            <input type="radio" name="flock" checked={offer.id === value} onChange={() => onChange(offer.id)} />
            <span>
              <span className="k-strong">{offer.flockName}</span>
              <span>
                {t('counter.age', {
                  birds: t('unit.birds', { smart_count: formatNumber(offer.birds, 0) }),
                  age: t('unit.weeks', { smart_count: offer.ageWeeks }),
                })}
              </span>
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  )
}

const OrderFor = ({ member, flockId, onOrdered }: { member: Member; flockId: string; onOrdered: (order: Order) => void }) => {
  const { t } = useStaffWords()
  const [chosen, setChosen] = useState(flockId)
  const {
    data: offers,
    error,
    refetch,
  } = useGetList<Offer>('offers', {
    pagination: { page: 1, perPage: MOST_FLOCKS },
    sort: { field: 'flockName', order: 'ASC' },
    filter: { memberId: member.id },
  })
  if (error) return <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
  if (!offers) return <Loading />
  const newFlock = (
    <a className="k-button" href={`#/flocks/create?memberId=${member.id}`}>
      {t('counter.newFlock')}
    </a>
  )
  if (offers.length === 0) return <Empty action={newFlock}>{t('counter.noFlocks', { name: member.name })}</Empty>
  const offer = offers.find(({ id }) => id === chosen) ?? offers[0]
  return (
    <>
      <Flocks offers={offers} value={offer?.id ?? ''} onChange={setChosen} />
      {offer && <OrderForm key={offer.id} offer={offer} memberId={member.id} memberName={member.name} onOrdered={onOrdered} />}
    </>
  )
}

/** The counter's order: who, which birds, which feed, how many bags, when; then the slip with the code. */
const CounterOrder = () => {
  const { t } = useStaffWords()
  const [search, setSearch] = useSearchParams()
  const memberId = search.get('memberId') ?? ''
  const { data: asked } = useWhole<Member>('members', memberId, { enabled: memberId !== '' })
  const [member, setMember] = useState<Member>()
  const [order, setOrder] = useState<Order>()
  usePageTitle(t('counter.title'))
  useEffect(() => {
    if (asked) setMember(asked)
  }, [asked])
  const startAgain = () => {
    setOrder(undefined)
    setMember(undefined)
    setSearch({})
  }
  return (
    <div className="k-page k-narrow">
      <h1>{t('counter.title')}</h1>
      {order && <Receipt order={order} onNext={startAgain} />}
      {!order && !member && (
        <Card title={t('counter.who')}>
          <ChooseMember onChoose={setMember} />
        </Card>
      )}
      {!order && member && (
        <Card title={member.name} action={<Button onPress={startAgain}>{t('counter.another')}</Button>}>
          <OrderFor key={member.id} member={member} flockId={search.get('flockId') ?? ''} onOrdered={setOrder} />
        </Card>
      )}
    </div>
  )
}

export default CounterOrder

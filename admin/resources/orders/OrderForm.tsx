import { useState, type FormEvent } from 'react'
import type { FindingView } from '#contract/findings'
import { formatAccount } from '../../format/money'
import { formatKg } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { entryToCorrect } from '../../outbox/outbox'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { FailureBar, FieldError } from '../../ui/Failure'
import { Figure } from '../../ui/Figure'
import { DayPicker, Stepper } from '../../ui/Pickers'
import { Findings } from '../formula-versions/Findings'
import { ChooseFeed } from './ChooseFeed'
import { formatTotal, priceOf, proposedBags, type Offer, type Order } from './orderModel'

type OrderFormProps = {
  readonly offer: Offer
  readonly memberId: string
  readonly memberName: string
  readonly onOrdered: (order: Order) => void
}

const findingsOf = (body: unknown): readonly FindingView[] => {
  if (typeof body !== 'object' || body === null || !('facts' in body)) return []
  const { facts } = body
  if (typeof facts !== 'object' || facts === null || !('findings' in facts) || !Array.isArray(facts.findings)) return []
  return facts.findings as readonly FindingView[]
}

const Proposal = ({ offer }: { offer: Offer }) => {
  const { t } = useStaffWords()
  if (offer.proposedKg === null || offer.gramsPerBirdDay === null) return null
  const known = t(`known.${offer.gramsKnownBy}` as StaffKey)
  return (
    <p className="k-caption">
      {t('counter.proposedKg', { kg: formatKg(offer.proposedKg, 0), grams: `${Math.round(offer.gramsPerBirdDay)}\u00a0g`, known })}
    </p>
  )
}

/** Feed, bags, day and price of one flock; all is proposed, one button places it. */
export const OrderForm = ({ offer, memberId, memberName, onOrdered }: OrderFormProps) => {
  const { t, language } = useStaffWords()
  const proposed = offer.feeds.find((feed) => feed.proposed)
  const [wrong] = useState(entryToCorrect)
  const typed = wrong?.draft as { versionId: string; bags: number; day: string } | undefined
  const [versionId, setVersionId] = useState(typed?.versionId ?? proposed?.formulaVersionId ?? '')
  const [bags, setBags] = useState(typed?.bags ?? proposedBags(offer))
  const [day, setDay] = useState(typed?.day ?? offer.dueDays[0] ?? '')
  const { send, busy, problem, errorAt } = useAct()
  const feed = offer.feeds.find(({ formulaVersionId }) => formulaVersionId === versionId)
  const kg = (bags * Number(offer.bagKg)).toFixed(3)
  const order = async (event: FormEvent) => {
    event.preventDefault()
    if (busy || !feed || bags === 0 || day === '') return
    const body = { flockId: offer.id, formulaVersionId: feed.formulaVersionId, kg, dueOn: day }
    const entry = {
      kind: 'order',
      facts: {
        bags: t('unit.bags', { smart_count: bags }),
        feed: language === 'en' ? feed.nameEn : feed.nameSw,
        flock: `${memberName}, ${offer.flockName}`,
      },
      page: `/orders/create?memberId=${memberId}&flockId=${offer.id}`,
      draft: { versionId, bags, day },
      replaces: wrong?.key,
    } as const
    const placed = await send<Order>({ method: 'POST', path: '/orders', body, entry })
    if (placed) onOrdered(placed)
  }
  const wrongFeed = errorAt('formulaVersionId') ?? errorAt('flockId')
  const told = problem && (problem.fields.length === 0 || wrongFeed)
  return (
    <form className="k-stack" onSubmit={(event) => void order(event)}>
      <ChooseFeed offer={offer} value={versionId} onChange={setVersionId} />
      {wrongFeed && <FieldError id="feed-error">{wrongFeed}</FieldError>}
      <Stepper label={t('counter.bags')} bags={bags} bagKg={Number(offer.bagKg)} onChange={setBags} min={1} />
      <Proposal offer={offer} />
      {errorAt('kg') && <FieldError id="kg-error">{errorAt('kg')}</FieldError>}
      <DayPicker label={t('counter.day')} days={offer.dueDays} value={day} onChange={setDay} error={errorAt('dueOn')} />
      {errorAt('dueOn') && offer.dueDays.includes(day) && <FieldError id="due-error">{errorAt('dueOn')}</FieldError>}
      {feed && (
        <p className="k-mix-cost" role="status">
          <span>{t('counter.toPay')}</span>
          <Figure value={formatTotal(priceOf(kg, feed.pricePerKg))} unit="" size="page" />
          <span>{t('counter.toPayOf', { kg: formatKg(kg, 0), price: formatAccount(feed.pricePerKg) })}</span>
        </p>
      )}
      {problem && <Findings findings={findingsOf(problem.body)} />}
      {told && <FailureBar problem={problem} />}
      {feed && (
        <Button submit kind="main" wide busy={busy}>
          {t('counter.place', { kg: formatKg(kg, 0), member: memberName })}
        </Button>
      )}
    </form>
  )
}

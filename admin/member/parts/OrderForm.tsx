import { useState, type FormEvent } from 'react'
import type { FindingView } from '#contract/findings'
import type { MillView } from '#contract/mill'
import { formatDate } from '../../format/dates'
import { formatNumber } from '../../format/numbers'
import { useMemberWords } from '../../i18n/words'
import { entryToCorrect } from '../../outbox/outbox'
import { newKey, type Problem } from '../../providers/http'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { FailureBar, FieldError } from '../../ui/Failure'
import { findingWords } from '../../ui/findingWords'
import { DayPicker, Stepper } from '../../ui/Pickers'
import { RefusalList } from '../../ui/RefusalCard'
import { useDraft } from '../draft'
import { kgPerDay } from '../feedAtHome'
import { feedName, formatTotal, isBlocked, priceOf, proposedBags, type Feed, type Offer, type Order } from '../model'
import { goTo } from '../router'
import { useSend } from '../useSend'
import { CallMill } from './CallMill'
import { ChosenFeed, OtherFeeds } from './ChooseFeed'

/** Bags 0, or an empty feed or day: as proposed today. */
const asProposed = () => ({ versionId: '', bags: 0, day: '', key: newKey() })

const NO_ANSWER: ReadonlySet<string> = new Set(['no-network', 'no-answer', 'internal', 'busy', 'idempotency-key-busy'])

const findingsOf = ({ body }: Problem): readonly FindingView[] => {
  if (typeof body !== 'object' || body === null || !('facts' in body)) return []
  const { facts } = body
  if (typeof facts !== 'object' || facts === null || !('findings' in facts) || !Array.isArray(facts.findings)) return []
  return facts.findings as readonly FindingView[]
}

type RefusedProps = { readonly problem: Problem; readonly onAgain: () => Promise<unknown>; readonly onAnew: () => void }

/** Why it was not taken. A lost answer is asked for again under the same key; the mill counts it once. */
const Refused = ({ problem, onAgain, onAnew }: RefusedProps) => {
  const { t, language } = useMemberWords()
  const findings = findingsOf(problem)
  if (problem.code === 'idempotency-key-reused')
    return (
      <div className="k-failure" role="alert">
        <p>{t('member.order.reused')}</p>
        <a className="k-button" href="#/orders">
          {t('member.tab.orders')}
        </a>
        <Button onPress={onAnew}>{t('member.order.anew')}</Button>
      </div>
    )
  if (findings.length > 0) return <RefusalList findings={findings.map((finding) => findingWords(finding, { t, language }))} />
  const lost = NO_ANSWER.has(problem.code)
  return (
    <>
      <FailureBar problem={problem} onTryAgain={lost ? onAgain : undefined} />
      {lost && <p className="k-caption">{t('member.order.again')}</p>}
    </>
  )
}

type Fields = { readonly feed: Feed | undefined; readonly bags: number; readonly day: string }

/** What is chosen, else what is proposed; a feed or a day that is no longer offered falls back too. */
const fieldsOf = (offer: Offer, typed: ReturnType<typeof asProposed>): Fields => {
  const allowed = offer.feeds.filter((feed) => !isBlocked(feed))
  const [firstDay = ''] = offer.dueDays
  return {
    feed: allowed.find(({ formulaVersionId }) => formulaVersionId === typed.versionId) ?? allowed.find(({ proposed }) => proposed),
    bags: typed.bags === 0 ? proposedBags(offer) : typed.bags,
    day: typed.day >= firstDay ? typed.day : firstDay,
  }
}

const Enough = ({ offer, bags }: { offer: Offer; bags: number }) => {
  const { t } = useMemberWords()
  const daily = kgPerDay(offer)
  if (daily === null) return null
  return (
    <p className="k-caption">
      {t('member.order.enough', {
        smart_count: Math.floor((bags * Number(offer.bagKg)) / daily),
        grams: `${formatNumber(offer.gramsPerBirdDay ?? 0, 0)}\u00a0g`,
      })}
    </p>
  )
}

/** Everything is filled in: one tap places the proposed order. */
export const OrderForm = ({ offer, mill }: { offer: Offer; mill: MillView }) => {
  const { t, language } = useMemberWords()
  const [wrong] = useState(entryToCorrect)
  const draft = useDraft(`order.${offer.id}`, () => ({ ...asProposed(), ...(wrong?.draft as Partial<ReturnType<typeof asProposed>>) }))
  const { send, busy, problem, errorAt, forget } = useSend()
  const [placed, setPlaced] = useState(false)
  const { feed, bags, day } = fieldsOf(offer, draft.value)
  const change = (part: Partial<typeof draft.value>) => {
    forget()
    draft.change(part)
  }

  if (!feed)
    return (
      <Card title={t('member.order.feed')}>
        <p>{t(offer.stage === null ? 'member.order.noStage' : 'member.order.noFeed')}</p>
        <CallMill mill={mill} />
        <OtherFeeds offer={offer} mill={mill} value="" onChange={(versionId) => change({ versionId })} />
      </Card>
    )
  const kg = (bags * Number(offer.bagKg)).toFixed(3)
  const price = formatTotal(priceOf(kg, feed.pricePerKg), mill.currency)
  const place = async () => {
    // kept before it is sent: a page that is loaded again repeats the same entry, not a new one
    draft.change({})
    const body = { flockId: offer.id, formulaVersionId: feed.formulaVersionId, kg, dueOn: day }
    const entry = {
      kind: 'order',
      facts: { bags: t('unit.bags', { smart_count: bags }), feed: feedName(feed, language), flock: offer.flockName },
      page: `/order/${offer.id}`,
      draft: { versionId: feed.formulaVersionId, bags, day },
      replaces: wrong?.key,
    } as const
    const order = await send<Order>({ method: 'POST', path: '/orders', body, key: draft.value.key, entry, onKept: draft.drop })
    if (!order) return
    setPlaced(true)
    draft.drop()
    goTo(`/orders/${order.id}/received`)
  }
  const submit = (event: FormEvent) => {
    event.preventDefault()
    if (!busy && !placed) void place()
  }
  return (
    <form className="k-stack" onSubmit={submit}>
      <Card>
        <ChosenFeed feed={feed} bagKg={offer.bagKg} mill={mill} />
        {errorAt('formulaVersionId') && <FieldError id="feed-error">{errorAt('formulaVersionId')}</FieldError>}
        <Stepper
          label={t('member.order.bags')}
          bags={bags}
          bagKg={Number(offer.bagKg)}
          onChange={(next) => change({ bags: next })}
          min={1}
        />
        <Enough offer={offer} bags={bags} />
        {errorAt('kg') && <FieldError id="kg-error">{errorAt('kg')}</FieldError>}
        <DayPicker
          label={t('member.order.day')}
          days={offer.dueDays}
          value={day}
          onChange={(next) => change({ day: next })}
          error={errorAt('dueOn')}
        />
        {errorAt('dueOn') && offer.dueDays.includes(day) && <FieldError id="day-error">{errorAt('dueOn')}</FieldError>}
      </Card>
      {problem && <Refused problem={problem} onAgain={place} onAnew={() => change({ key: newKey() })} />}
      <div className="m-place">
        <p className="k-caption">{t('member.orders.collectOn', { date: formatDate(day, language) })}</p>
        <Button submit kind="main" wide busy={busy}>
          {t('member.order.place', { bags: t('unit.bags', { smart_count: bags }), price })}
        </Button>
      </div>
      <OtherFeeds offer={offer} mill={mill} value={feed.formulaVersionId} onChange={(versionId) => change({ versionId })} />
    </form>
  )
}

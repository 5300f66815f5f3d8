import { useRef, useState, type FormEvent, type KeyboardEvent } from 'react'
import { useGetList } from 'react-admin'
import type { FindingView } from '#contract/findings'
import { formatDate, formatTime } from '../format/dates'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { entryToCorrect } from '../outbox/outbox'
import { useMay } from '../providers/useMay'
import { bagsTold, CallManager } from '../resources/batches/batchParts'
import { refusedFindings } from '../resources/batches/StartLoad'
import { feedName, formatTotal, type Order } from '../resources/orders/orderModel'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card, Row } from '../ui/Card'
import { FailureBar, FieldError } from '../ui/Failure'
import { Field } from '../ui/Field'
import { findingWords } from '../ui/findingWords'
import { Readback } from '../ui/Readback'
import { RefusalList } from '../ui/RefusalCard'
import { Empty, Loading } from '../ui/Waiting'
import './hand-over.css'
import { useHome } from './homes/useHome'

const CODE_DIGITS = 4
const SHOWN = 50

type CodeProps = {
  readonly digits: readonly string[]
  readonly onChange: (digits: readonly string[]) => void
  readonly error: string | undefined
}

/** Four large digits, each its own box: what a member reads out is typed as it is heard. Pasting four fills all. */
export const CodeField = ({ digits, onChange, error }: CodeProps) => {
  const { t } = useStaffWords()
  const boxes = useRef<(HTMLInputElement | null)[]>([])
  const type = (at: number, typed: string) => {
    const all = typed.replace(/\D/g, '')
    // typed beside a digit that is there already: the new one takes its place
    const fresh = all.length === 2 ? all.replace(digits[at] ?? '', '') : all
    const next = [...digits]
    if (fresh === '') next[at] = ''
    for (const [ahead, digit] of fresh.split('').entries()) {
      if (at + ahead < CODE_DIGITS) next[at + ahead] = digit
    }
    onChange(next)
    if (fresh !== '') boxes.current[Math.min(at + fresh.length, CODE_DIGITS - 1)]?.focus()
  }
  const back = (at: number, event: KeyboardEvent) => {
    if (event.key === 'Backspace' && digits[at] === '' && at > 0) boxes.current[at - 1]?.focus()
  }
  return (
    <fieldset className="k-field" aria-describedby={error ? 'code-error' : 'code-hint'}>
      <legend>{t('handOver.code')}</legend>
      <p className="k-caption" id="code-hint">
        {t('handOver.codeHint')}
      </p>
      <div className="k-code">
        {digits.map((digit, at) => (
          <input
            key={at}
            ref={(box) => {
              boxes.current[at] = box
            }}
            className="k-input"
            inputMode="numeric"
            autoComplete="off"
            aria-label={t('handOver.codeDigit', { number: at + 1 })}
            aria-invalid={error ? true : undefined}
            value={digit}
            onFocus={(event) => event.target.select()}
            onKeyDown={(event) => back(at, event)}
            // not onChange, which React does not send for a digit typed over the same digit: the next box would then be missed
            onInput={(event) => type(at, event.currentTarget.value)}
          />
        ))}
      </div>
      {error && <FieldError id="code-error">{error}</FieldError>}
    </fieldset>
  )
}

const NO_DIGITS: readonly string[] = Array.from({ length: CODE_DIGITS }, () => '')

/** Bags past their date, or birds that outgrew the feed: the mill's reason, and whose move it is. */
const Refused = ({ findings, order }: { findings: readonly FindingView[]; order: Order }) => {
  const { t, language } = useStaffWords()
  const may = useMay()
  const decides = may('write-off', 'batches')
  const next = (
    <>
      <p>{t(decides ? 'handOver.refusedManager' : 'handOver.refused')}</p>
      {decides ? (
        <a className="k-button" href={`#/orders/${order.id}/show`}>
          {t('handOver.toOrder', { number: order.number })}
        </a>
      ) : (
        <CallManager />
      )}
    </>
  )
  return <RefusalList findings={findings.map((finding) => ({ ...findingWords(finding, { t, language }), next }))} />
}

type GiveProps = { readonly order: Order; readonly readyKg: string; readonly onDone: (order: Order) => void; readonly onBack: () => void }

const Give = ({ order, readyKg, onDone, onBack }: GiveProps) => {
  const { t, language } = useStaffWords()
  const { send, busy, problem, forget } = useAct()
  const [wrong] = useState(entryToCorrect)
  const [digits, setDigits] = useState(NO_DIGITS)
  const [asked, setAsked] = useState(false)
  const code = digits.join('')
  const codeFault =
    problem?.code === 'wrong-code'
      ? t('handOver.wrongCode', { number: order.number })
      : problem?.code === 'too-many-tries'
        ? t('handOver.tooMany')
        : undefined
  const findings = refusedFindings(problem)
  const error = codeFault ?? (asked && code.length < CODE_DIGITS ? t('handOver.codeFour') : undefined)
  const give = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || code.length < CODE_DIGITS) return
    const path = `/orders/${order.id}/collect`
    const facts = { number: String(order.number), member: order.memberName, kg: formatKg(readyKg) }
    const entry = { kind: 'hand-over', facts, page: '/hand-over', draft: String(order.number), replaces: wrong?.key } as const
    const done = await send<Order>({ method: 'POST', path, body: { collectionCode: code }, revision: order.revision, entry })
    if (done) onDone(done)
  }
  return (
    <form className="k-stack k-narrow" onSubmit={(event) => void give(event)} noValidate>
      <Card title={t('handOver.orderTitle', { number: order.number, member: order.memberName })}>
        <p className="k-strong">{feedName(order, language)}</p>
        <p className="k-give">{t('handOver.give', { bags: bagsTold(readyKg, order.bagKg, t) })}</p>
        {readyKg !== order.kg && <p>{t('handOver.ordered', { ordered: formatKg(order.kg), kg: formatKg(readyKg) })}</p>}
        <p className="k-strong k-tabular">{t('handOver.toPay', { price: formatTotal(order.priceTotal) })}</p>
      </Card>
      <CodeField
        digits={digits}
        error={error}
        onChange={(next) => {
          setDigits(next)
          setAsked(false)
          forget()
        }}
      />
      {findings.length > 0 && <Refused findings={findings} order={order} />}
      {problem && codeFault === undefined && findings.length === 0 && <FailureBar problem={problem} />}
      <div className="k-actions">
        {findings.length === 0 && (
          <Button submit kind="main" wide busy={busy}>
            {t('handOver.button', { kg: formatKg(readyKg) })}
          </Button>
        )}
        <Button onPress={onBack}>{t('handOver.another')}</Button>
      </div>
    </form>
  )
}

const Ready = ({ onChoose }: { onChoose: (order: Order) => void }) => {
  const { t, language } = useStaffWords()
  // an order whose hand-over was refused is looked for again: it may have changed since
  const [typed, setTyped] = useState(() => (entryToCorrect()?.draft as string | undefined) ?? '')
  const { data, error, refetch } = useGetList<Order>('orders', {
    filter: { status: 'ready', q: typed.trim() },
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'number', order: 'ASC' },
  })
  const none = data?.length === 0
  return (
    <>
      <Field label={t('handOver.look')} value={typed} onChange={setTyped} type="search" autoComplete="off" />
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={4} />}
      {none && <Empty>{t(typed.trim() === '' ? 'handOver.none' : 'handOver.nothing')}</Empty>}
      {data && !none && (
        <Card title={t('handOver.ready', { smart_count: data.length })}>
          <div>
            {data.map((order) => (
              <Row
                key={order.id}
                action={
                  <Button
                    kind="main"
                    label={`${t('handOver.choose')}: ${t('handOver.orderTitle', { number: order.number, member: order.memberName })}`}
                    onPress={() => onChoose(order)}
                  >
                    {t('handOver.choose')}
                  </Button>
                }
              >
                <b>{order.memberName}</b>
                <br />
                {t('order.named', { number: order.number })}: <span className="k-tabular">{formatKg(order.kg, 0)}</span>{' '}
                {feedName(order, language)}
                {order.readyAt && (
                  <span className="k-caption"> ({t('handOver.since', { date: formatDate(order.readyAt, language) })})</span>
                )}
              </Row>
            ))}
          </div>
        </Card>
      )}
    </>
  )
}

/** Ready orders by member or number; the member's four digits; and what was handed over, read back. */
const HandOver = () => {
  const { t } = useStaffWords()
  const { refetch } = useHome()
  const [chosen, setChosen] = useState<Order>()
  const [done, setDone] = useState<{ order: Order; kg: string }>()
  usePageTitle(t('handOver.title'))
  // what is really in the bags, which may be some hundred grams less than was ordered
  const readyKg = (order: Order): string => order.baggedKg ?? order.kg
  const handedOver = (order: Order, kg: string) => {
    setDone({ order, kg })
    setChosen(undefined)
    void refetch()
  }
  return (
    <div className="k-page">
      <h1>{t('handOver.title')}</h1>
      {done && (
        <Readback
          what={t('handOver.done', {
            bags: t('unit.bags', { smart_count: Math.ceil(Number(done.kg) / Number(done.order.bagKg)) }),
            kg: formatKg(done.kg),
            price: formatTotal(done.order.priceTotal),
            member: done.order.memberName,
          })}
          time={formatTime(done.order.collectedAt ?? new Date().toISOString())}
        />
      )}
      {chosen ? (
        <Give
          key={chosen.id}
          order={chosen}
          readyKg={readyKg(chosen)}
          onDone={(order) => handedOver(order, readyKg(chosen))}
          onBack={() => setChosen(undefined)}
        />
      ) : (
        <Ready
          onChoose={(order) => {
            setDone(undefined)
            setChosen(order)
          }}
        />
      )}
    </div>
  )
}

export default HandOver

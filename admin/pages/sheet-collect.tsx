import { useState, type FormEvent } from 'react'
import { useGetList } from 'react-admin'
import { useStaffWords } from '../i18n/words'
import { feedName, type Order } from '../resources/orders/orderModel'
import { SheetBags } from '../resources/sheets/SheetBags'
import { SheetTold } from '../resources/sheets/SheetTold'
import { unbroken } from '../resources/sheets/sheetWords'
import { FromSheetLine, useFromSheet, withSheet, type FromSheet } from '../resources/sheets/useFromSheet'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { Choice } from '../ui/Choice'
import { FailureBar, FieldError } from '../ui/Failure'
import { Field, SelectField } from '../ui/Field'
import { Loading } from '../ui/Waiting'

const SHOWN = 100
const CODE = /^\d{4}$/

type FormProps = {
  readonly from: FromSheet
  readonly orders: readonly Order[]
  readonly onDone: (order: Order) => void
  /** Orders as they stand now, after somebody else changed one. */
  readonly onAgain: () => void
}

const Form = ({ from, orders, onDone, onAgain }: FormProps) => {
  const { t, language } = useStaffWords()
  const { send, busy, problem, errorAt } = useAct()
  const [id, setId] = useState('')
  const [written, setWritten] = useState('')
  const [code, setCode] = useState('')
  const [asked, setAsked] = useState(false)
  const order = orders.find((candidate) => candidate.id === id)
  const enter = async (event: FormEvent) => {
    event.preventDefault()
    setAsked(true)
    if (busy || !order || written === '' || (written === 'yes' && !CODE.test(code.trim()))) return
    const body = { collectionCode: written === 'yes' ? code.trim() : null, collectedAt: from.at, sheet: from.sheet }
    const done = await send<Order>({ method: 'POST', path: `/orders/${order.id}/collect`, body, revision: order.revision })
    if (done) onDone(done)
  }
  const missing = (is: boolean): string | undefined => (asked && is ? t('field.chooseOne') : undefined)
  const ofSheet = errorAt('sheet') ?? errorAt('collectedAt')
  const rest = (
    <>
      <Choice
        label={t('blankSheet.withCode')}
        value={written}
        onChange={setWritten}
        choices={[
          { value: 'yes', label: t('blankSheet.codeYes') },
          { value: 'no', label: t('blankSheet.codeNo') },
        ]}
        error={missing(written === '')}
      />
      {written === 'yes' && (
        <Field
          label={t('handOver.code')}
          value={code}
          onChange={setCode}
          inputMode="numeric"
          autoComplete="off"
          error={asked && !CODE.test(code.trim()) ? t('handOver.codeFour') : undefined}
          required
        />
      )}
      {written === 'no' && <p role="status">{t('blankSheet.noCodeTold')}</p>}
      {problem && !ofSheet && <FailureBar problem={problem} onTryAgain={problem.code === 'stale-revision' ? onAgain : undefined} />}
      <Button submit kind="main" wide busy={busy}>
        {t('blankSheet.handOverButton')}
      </Button>
    </>
  )
  return (
    <form className="k-stack k-form" onSubmit={(event) => void enter(event)} noValidate>
      <FromSheetLine from={from} />
      {ofSheet && (
        <div role="alert">
          <FieldError id="sheet-error">{ofSheet}</FieldError>
          <a href={`#${withSheet('/enter-sheet', from)}`}>{t('action.back')}</a>
        </div>
      )}
      <SelectField
        label={t('blankSheet.handOverWhich')}
        hint={t('blankSheet.handOverLead')}
        value={id}
        onChange={setId}
        choices={orders.map((each) => ({
          value: each.id,
          label: `${t('blankSheet.order', { number: each.number })}, ${each.memberName}, ${feedName(each, language)}`,
        }))}
        error={missing(!order)}
        required
      />
      {order ? (
        <SheetBags orderId={order.id} at={from.at}>
          {rest}
        </SheetBags>
      ) : (
        rest
      )}
    </form>
  )
}

/** Bags that were handed over in a power cut: which order, and whether the member gave the code. */
const SheetCollect = () => {
  const { t } = useStaffWords()
  const from = useFromSheet()
  const [done, setDone] = useState<Order>()
  const title = from ? t('blankSheet.handOverTitle', { code: unbroken(from.sheet) }) : t('blankSheet.enterTitle')
  usePageTitle(title)
  const { data, error, refetch } = useGetList<Order>('orders', {
    filter: { status: 'ready,being-mixed' },
    pagination: { page: 1, perPage: SHOWN },
    sort: { field: 'number', order: 'ASC' },
  })
  const what = done && t('blankSheet.order', { number: done.number })
  return (
    <div className="k-page">
      <h1>{title}</h1>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!data && !error && <Loading rows={4} />}
      {done && what && (
        <Card>
          <p role="status" className="k-strong">
            {t('blankSheet.done', { what, code: from?.sheet ?? '' })}
          </p>
          {from && <SheetTold code={from.sheet} />}
          <a className="k-button" href={`#/orders/${done.id}/show`}>
            {t('blankSheet.doneOpen', { what })}
          </a>
        </Card>
      )}
      {!done && from && data && (
        <Card>
          {data.length === 0 ? (
            <p>{t('blankSheet.handOverNone')}</p>
          ) : (
            <Form from={from} orders={data} onDone={setDone} onAgain={() => void refetch()} />
          )}
        </Card>
      )}
      {(done || !from) && (
        <a className="k-button" href="#/enter-sheet">
          {t(done ? 'blankSheet.another' : 'blankSheet.enter')}
        </a>
      )}
    </div>
  )
}

export default SheetCollect

import { useState, type FormEvent } from 'react'
import { useDataProvider } from 'react-admin'
import { useNavigate } from 'react-router-dom'
import type { LotView } from '#contract/lots'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { emptyDraft } from '../resources/lots/receiveDraft'
import { Received } from '../resources/lots/Received'
import { ReceiveFields } from '../resources/lots/ReceiveFields'
import { useReceive } from '../resources/lots/useReceive'
import { unbroken } from '../resources/sheets/sheetWords'
import { FromSheetLine, useFromSheet, withSheet, type FromSheet } from '../resources/sheets/useFromSheet'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { ErrorCount, FailureBar, FieldError } from '../ui/Failure'
import '../resources/lots/lots.css'

type Done = { readonly lot: LotView; readonly category: string }

const Form = ({ from, onDone }: { from: FromSheet; onDone: (done: Done) => void }) => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const { draft, change, errorAt, submit, busy, problem, wrongIds } = useReceive({
    start: emptyDraft,
    send: (body, idempotencyKey) =>
      mill.act<LotView>('POST', '/lots', { ...body, receivedAt: from.at, sheet: from.sheet }, { idempotencyKey }),
    onDone: (lot, { category }) => onDone({ lot, category }),
  })
  const press = (event: FormEvent) => {
    event.preventDefault()
    if (!busy) void submit()
  }
  const ofSheet = errorAt('sheet') ?? errorAt('receivedAt')
  return (
    <form className="k-stack k-form" onSubmit={press} noValidate>
      <FromSheetLine from={from} />
      {ofSheet && (
        <div id={errorAt('sheet') ? 'receive-sheet' : 'receive-receivedAt'} tabIndex={-1} role="alert">
          <FieldError id="sheet-error">{ofSheet}</FieldError>
          <a href={`#${withSheet('/enter-sheet', from)}`}>{t('action.back')}</a>
        </div>
      )}
      <ErrorCount fieldIds={wrongIds} />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={submit} />}
      <ReceiveFields draft={draft} onChange={change} errorAt={errorAt} />
      <div className="k-main-action">
        <Button submit wide kind="main" busy={busy}>
          {t('blankSheet.receiveButton')}
        </Button>
      </div>
    </form>
  )
}

/** A delivery that was written on a sheet: the form of every delivery, at the time that the sheet says. */
const SheetReceive = () => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const from = useFromSheet()
  const [done, setDone] = useState<Done>()
  const title = from ? t('blankSheet.receiveTitle', { code: unbroken(from.sheet) }) : t('blankSheet.enterTitle')
  usePageTitle(title)
  if (done) return <Received lot={done.lot} category={done.category} onAnother={() => void navigate('/enter-sheet')} />
  return (
    <div className="k-page">
      <h1>{title}</h1>
      {from ? (
        <Card>
          <Form from={from} onDone={setDone} />
        </Card>
      ) : (
        <a className="k-button" href="#/enter-sheet">
          {t('blankSheet.enter')}
        </a>
      )}
    </div>
  )
}

export default SheetReceive

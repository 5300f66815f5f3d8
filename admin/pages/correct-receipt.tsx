import { useState, type FormEvent } from 'react'
import { useDataProvider } from 'react-admin'
import { useNavigate, useParams } from 'react-router-dom'
import type { LotView } from '#contract/lots'
import { useStaffWords } from '../i18n/words'
import type { MillDataProvider } from '../providers/dataProvider'
import { useWhole } from '../providers/useWhole'
import { draftOf } from '../resources/lots/receiveDraft'
import { ReceiveFields } from '../resources/lots/ReceiveFields'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { useReceive } from '../resources/lots/useReceive'
import type { IngredientRow } from '../resources/lots/IngredientPicker'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { ErrorCount, FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

type Kind = Pick<IngredientRow, 'category' | 'shelfLifeDays'>

const CorrectForm = ({ lot, kind }: { lot: LotDetail; kind: Kind }) => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const navigate = useNavigate()
  const [reason, setReason] = useState(t('receiving.correctTyped'))
  const { draft, change, errorAt, submit, busy, problem, wrongIds } = useReceive({
    start: () => draftOf(lot, { category: kind.category, shelfLifeDays: kind.shelfLifeDays }),
    send: (body, idempotencyKey) =>
      mill.act<LotView>('POST', `/lots/${lot.id}/correct-receipt`, { ...body, reason }, { idempotencyKey, revision: lot.revision }),
    onDone: ({ id }) => void navigate(`/lots/${id}/show`),
  })
  const press = (event: FormEvent) => {
    event.preventDefault()
    if (!busy) void submit()
  }
  return (
    <form className="k-stack k-form" onSubmit={press} noValidate>
      <p>{t('receiving.correctLead')}</p>
      <ErrorCount fieldIds={wrongIds} />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={submit} />}
      <ReceiveFields draft={draft} onChange={change} errorAt={errorAt} />
      <Field
        id="receive-reason"
        label={t('receiving.correctReason')}
        value={reason}
        onChange={setReason}
        error={errorAt('reason')}
        required
      />
      <div className="k-main-action">
        <Button submit wide kind="main" busy={busy}>
          {t('receiving.correctSave')}
        </Button>
      </div>
    </form>
  )
}

/** A delivery that was typed wrongly, typed again as it was; possible while nothing rests on it. */
const CorrectReceipt = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const { lot, name, problem, again } = useLot(id)
  const { data: kind } = useWhole<IngredientRow>('ingredients', lot?.ingredientId ?? '', { enabled: lot !== undefined })
  const title = lot ? t('receiving.correctTitle', { number: lot.number, name }) : t('receiving.correct')
  usePageTitle(title)
  const possible = lot?.status === 'on-hold' && lot.assays.length === 0
  return (
    <div className="k-page">
      <h1>{title}</h1>
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {(!lot || !kind) && !problem && <Loading rows={6} />}
      {lot && !possible && <p>{t('receiving.correctNot')}</p>}
      {lot && kind && possible && (
        <Card>
          <CorrectForm lot={lot} kind={kind} />
        </Card>
      )}
      {lot && (
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('receiving.toLot', { number: lot.number })}
        </a>
      )}
    </div>
  )
}

export default CorrectReceipt

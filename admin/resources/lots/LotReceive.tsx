import { useState, type FormEvent } from 'react'
import { useDataProvider } from 'react-admin'
import type { LotView } from '#contract/lots'
import { useStaffWords } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { usePageTitle } from '../../shell/usePageTitle'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { ErrorCount, FailureBar } from '../../ui/Failure'
import { dropDraft, emptyDraft, keepDraft, keptDraft } from './receiveDraft'
import { Received } from './Received'
import { ReceiveFields } from './ReceiveFields'
import { useReceive } from './useReceive'
import './lots.css'

type FormProps = { readonly onReceived: (lot: LotView, category: string) => void }

const ReceiveForm = ({ onReceived }: FormProps) => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const { draft, change, errorAt, submit, busy, problem, wrongIds } = useReceive({
    start: keptDraft,
    onDraft: keepDraft,
    send: (body, idempotencyKey) => mill.act<LotView>('POST', '/lots', body, { idempotencyKey }),
    onDone: (lot, { category }) => {
      dropDraft()
      onReceived(lot, category)
    },
  })
  const press = (event: FormEvent) => {
    event.preventDefault()
    if (!busy) void submit()
  }
  return (
    <form className="k-stack k-form" onSubmit={press} noValidate>
      <ErrorCount fieldIds={wrongIds} />
      {problem && problem.fields.length === 0 && <FailureBar problem={problem} onTryAgain={submit} />}
      <ReceiveFields draft={draft} onChange={change} errorAt={errorAt} />
      <div className="k-main-action">
        <Button submit wide kind="main" busy={busy}>
          {t('receive.save')}
        </Button>
      </div>
    </form>
  )
}

const LotReceive = () => {
  const { t } = useStaffWords()
  const [received, setReceived] = useState<{ lot: LotView; category: string }>()
  usePageTitle(t('receive.title'))
  if (received)
    return (
      <Received
        lot={received.lot}
        category={received.category}
        onAnother={() => {
          keepDraft(emptyDraft())
          setReceived(undefined)
        }}
      />
    )
  return (
    <div className="k-page">
      <h1>{t('receive.title')}</h1>
      <Card>
        <ReceiveForm onReceived={(lot, category) => setReceived({ lot, category })} />
      </Card>
    </div>
  )
}

export default LotReceive

import { useState, type FormEvent } from 'react'
import { formatKg, grams, type Grams } from '#core/quantity/mass'
import { formatKg as shownKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { FailureBar } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'
import { bagsTold } from './batchParts'
import { differsTooMuch, readWeight, weighedIn, type BatchDetail } from './batchModel'

/** The kilograms made, read back as bags, and said when they differ from what went in. */
export const MadeField = ({ batch, typed, onChange, error, weighed }: MadeProps) => {
  const { t } = useStaffWords()
  const read = readWeight(typed, 'floor')
  const made = read.kind === 'weight' && read.mass > 0 ? read.mass : null
  return (
    <>
      <NumberField
        id="madeKg"
        label={t('load.finish.made')}
        hint={t('load.finish.madeHint')}
        value={typed}
        onChange={onChange}
        unit="kg"
        error={error}
        required
      />
      {made !== null && (
        <p className="k-strong k-tabular" role="status">
          {bagsTold(formatKg(made), batch.bagKg, t)}
        </p>
      )}
      {made !== null && weighed > 0 && differsTooMuch(made, weighed) && (
        <p className="k-verdict-line" role="status">
          <CheckShape verdict="warn" />
          <span>
            {t('load.finish.difference', {
              made: shownKg(formatKg(made)),
              weighed: shownKg(formatKg(weighed)),
              difference: shownKg(formatKg(grams(made - weighed))),
            })}
          </span>
        </p>
      )}
    </>
  )
}
type MadeProps = {
  readonly batch: BatchDetail
  readonly typed: string
  readonly onChange: (typed: string) => void
  readonly error: string | undefined
  readonly weighed: Grams
}

/** Every row is weighed: mix, fill the bags, and say how many kilograms came out. */
export const FinishLoad = ({ batch, onChange }: { batch: BatchDetail; onChange: (batch: BatchDetail) => void }) => {
  const { t } = useStaffWords()
  const { send, busy, problem, errorAt } = useAct()
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string>()
  const read = readWeight(typed, 'floor')
  const finish = async (event: FormEvent) => {
    event.preventDefault()
    const wrong = read.kind === 'fault' ? t(read.words) : read.mass === 0 ? t('field.above0') : undefined
    setFault(wrong)
    if (wrong !== undefined || read.kind === 'fault' || busy) return
    const body = { weights: [], madeKg: formatKg(read.mass) }
    const done = await send<BatchDetail>({ method: 'POST', path: `/batches/${batch.id}/finish`, body, revision: batch.revision })
    if (done) onChange(done)
  }
  return (
    <Card title={t('load.finish.title', { number: batch.number })}>
      <form className="k-weigh k-stack" onSubmit={(event) => void finish(event)} noValidate>
        <p>
          {t('load.step.allWeighed')} {t('load.finish.mix')}
        </p>
        <p>
          {t('load.weighedIn')}: <b className="k-tabular">{shownKg(formatKg(weighedIn(batch.lines)))}</b>
        </p>
        <MadeField batch={batch} typed={typed} onChange={setTyped} error={fault ?? errorAt('madeKg')} weighed={weighedIn(batch.lines)} />
        {problem && !errorAt('madeKg') && <FailureBar problem={problem} />}
        <Button submit kind="main" wide busy={busy}>
          {read.kind === 'weight' && read.mass > 0
            ? t('load.finish.button', { kg: shownKg(formatKg(read.mass)) })
            : t('load.finish.buttonPlain')}
        </Button>
      </form>
    </Card>
  )
}

import { useState, type FormEvent } from 'react'
import { formatKg, parseKg, type Grams } from '#core/quantity/mass'
import { formatKg as shownKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { CheckShape } from '../../ui/CheckShape'
import { FailureBar } from '../../ui/Failure'
import { NumberField } from '../../ui/Field'
import { Figure } from '../../ui/Figure'
import { CallManager, Picture } from './batchParts'
import { judgeWeight, kgOnScale, lineName, readWeight, scaleFigure, scaleUnit, type BatchDetail, type BatchLine } from './batchModel'

const PICTURE_PX = 56

const What = ({ line }: { line: BatchLine }) => {
  const { t, language } = useStaffWords()
  return (
    <div className="k-step-thing">
      <span className="k-step-name">
        <Picture name={line.pictogram} size={PICTURE_PX} />{' '}
        {line.lotNumber === null ? t('load.step.preBlendJar') : lineName(line, language)}
      </span>
      {line.lotNumber !== null && (
        <span className="k-step-lot">
          {t('load.step.lot')} <b>{line.lotNumber}</b>
        </span>
      )}
    </div>
  )
}

/** What of the target is full bags: they are counted, and only the rest goes on the scale. */
const Bags = ({ line: { bags, targetKg, scale } }: { line: BatchLine }) => {
  const { t } = useStaffWords()
  if (bags === null) return null
  const facts = {
    target: kgOnScale(targetKg, scale),
    bag: shownKg(bags.bagKg, 0),
    rest: kgOnScale(bags.restKg, scale),
    smart_count: bags.count,
  }
  return (
    <>
      <p className="k-strong k-tabular">{t(parseKg(bags.restKg) === 0 ? 'load.step.onlyBags' : 'load.step.bags', facts)}</p>
      <p className="k-caption">{t('load.step.bagsTold')}</p>
    </>
  )
}

type OutsideProps = {
  readonly line: BatchLine
  readonly actual: Grams
  readonly busy: boolean
  readonly onAgain: () => void
  readonly onRecord: () => Promise<unknown>
}

/** A weight outside its range: what to take out or add, or the weight as it is and a call. */
const Outside = ({ line, actual, busy, onAgain, onRecord }: OutsideProps) => {
  const { t } = useStaffWords()
  const judged = judgeWeight(line, actual)
  if (judged.kind === 'inside') return null
  const facts = {
    actual: scaleFigure(actual, line.scale),
    low: scaleFigure(parseKg(line.allowedLowKg), line.scale),
    high: scaleFigure(parseKg(line.allowedHighKg), line.scale),
    difference: scaleFigure(judged.difference, line.scale),
    unit: t(`load.unit.${line.scale}`),
  }
  return (
    <section className="k-refusal k-warn" role="alert">
      <p className="k-refusal-reason k-verdict-line">
        <CheckShape verdict="warn" size={28} />
        <span>{t(judged.kind === 'over' ? 'load.step.over' : 'load.step.under', facts)}</span>
      </p>
      {judged.otherUnit && <p>{t('field.checkUnit')}</p>}
      <div className="k-refusal-next">
        <Button kind="main" onPress={onAgain}>
          {t(judged.kind === 'over' ? 'load.step.takeOut' : 'load.step.add', facts)}
        </Button>
        <Button busy={busy} onPress={onRecord}>
          {t('load.step.recordIt', facts)}
        </Button>
        <CallManager />
      </div>
    </section>
  )
}

type StepProps = {
  readonly batch: BatchDetail
  readonly line: BatchLine
  readonly step: number
  readonly steps: number
  readonly onTaken: (batch: BatchDetail, line: BatchLine) => void
  readonly onOther: () => void
}

/** One row on one scale: what, which lot, how much, what may be, and the field for what the scale shows. Its own key for each row. */
export const WeighStep = ({ batch, line, step, steps, onTaken, onOther }: StepProps) => {
  const { t } = useStaffWords()
  const { send, busy, problem, errorAt } = useAct()
  const [typed, setTyped] = useState('')
  const [fault, setFault] = useState<string>()
  const [outside, setOutside] = useState<Grams>()
  const [different, setDifferent] = useState(false)
  const unit = scaleUnit(line.scale)

  const record = async (mass: Grams) => {
    const body = { part: line.part, position: line.position, actualKg: formatKg(mass) }
    const taken = await send<BatchDetail>({ method: 'POST', path: `/batches/${batch.id}/weighings`, body })
    if (taken) onTaken(taken, line)
  }
  const next = async (event: FormEvent) => {
    event.preventDefault()
    const read = readWeight(typed, line.scale)
    setFault(read.kind === 'fault' ? t(read.words) : undefined)
    setOutside(undefined)
    if (read.kind === 'fault' || busy) return
    if (judgeWeight(line, read.mass).kind === 'inside') await record(read.mass)
    else setOutside(read.mass)
  }
  const change = (text: string) => {
    setTyped(text)
    setFault(undefined)
    setOutside(undefined)
  }
  const low = scaleFigure(parseKg(line.allowedLowKg), line.scale)
  const high = scaleFigure(parseKg(line.allowedHighKg), line.scale)
  return (
    <form className="k-weigh k-stack" onSubmit={(event) => void next(event)} noValidate>
      <div>
        <h2>{t(line.part === 'load' ? 'load.step.of' : 'load.step.preBlend', { step, steps })}</h2>
        <p className="k-caption">{t(`load.step.${line.scale}`)}</p>
      </div>
      {line.actualKg !== null && (
        <p role="status">{t('load.step.correcting', { step: line.position, weight: kgOnScale(line.actualKg, line.scale) })}</p>
      )}
      <What line={line} />
      <div>
        <span className="k-figure k-step-weight" data-size="weight">
          <Figure value={scaleFigure(parseKg(line.targetKg), line.scale)} unit={unit} size="weight" />
        </span>
        <Bags line={line} />
        <p className="k-strong k-tabular">{t('load.step.allowed', { low, high, unit: t(`load.unit.${line.scale}`) })}</p>
        {line.part === 'load' && <p className="k-caption k-tabular">{t('load.step.runningTotal', { kg: shownKg(line.runningKg) })}</p>}
      </div>
      <NumberField
        label={t('load.step.field')}
        value={typed}
        onChange={change}
        unit={unit}
        // in brackets: in Sunlight grey is black, and what is expected must not look like what was typed
        placeholder={`(${scaleFigure(parseKg(line.targetKg), line.scale)})`}
        error={fault ?? errorAt('actualKg')}
        places={line.scale === 'table' ? 0 : 3}
      />
      {outside !== undefined && (
        <Outside line={line} actual={outside} busy={busy} onAgain={() => change('')} onRecord={() => record(outside)} />
      )}
      {problem && !errorAt('actualKg') && <FailureBar problem={problem} />}
      <div className="k-two-buttons">
        <Button submit kind="main" busy={busy}>
          {t('load.step.next')}
        </Button>
        <Button pressed={different} onPress={() => setDifferent(!different)}>
          {t('load.step.different')}
        </Button>
      </div>
      {different && (
        <div className="k-card">
          <p className="k-strong">{t('load.step.whatIsDifferent')}</p>
          <Button onPress={onOther}>{t('load.step.anotherRow')}</Button>
          <p>{t('load.step.anotherLot')}</p>
          <CallManager />
        </div>
      )}
    </form>
  )
}

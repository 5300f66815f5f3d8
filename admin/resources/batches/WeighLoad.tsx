import { useRef, useState } from 'react'
import { formatTime } from '../../format/dates'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { CheckShape } from '../../ui/CheckShape'
import { Readback } from '../../ui/Readback'
import { CallManager } from './batchParts'
import { kgOnScale, lineKey, nextStep, stepsOf, type BatchDetail, type BatchLine } from './batchModel'
import { FinishLoad } from './FinishLoad'
import { LoadRows } from './LoadRows'
import { WeighStep } from './WeighStep'

const TakenBack = ({ line, onCorrect }: { line: BatchLine; onCorrect: () => void }) => {
  const { t } = useStaffWords()
  if (line.actualKg === null || line.weighedAt === null) return null
  const weight = kgOnScale(line.actualKg, line.scale)
  const what =
    line.lotNumber === null ? t('load.step.recordedPreBlend', { weight }) : t('load.step.recorded', { weight, lot: line.lotNumber })
  return (
    <>
      <Readback what={what} time={formatTime(line.weighedAt)} onCorrect={onCorrect} />
      {line.outside && (
        <div className="k-refusal k-warn" role="alert">
          <p className="k-refusal-reason k-verdict-line">
            <CheckShape verdict="warn" /> <span>{t('load.step.nowCall')}</span>
          </p>
          <CallManager main />
        </div>
      )}
    </>
  )
}

/** The rows of a load one after the other, each read back with the way to correct it; at the end the bags. */
export const WeighLoad = ({ batch, onChange }: { batch: BatchDetail; onChange: (batch: BatchDetail) => void }) => {
  const [chosen, setChosen] = useState<string>()
  const [taken, setTaken] = useState<string>()
  const rows = useRef<HTMLDivElement>(null)
  const top = useRef<HTMLDivElement>(null)
  const steps = stepsOf(batch)
  const line = steps.find((candidate) => lineKey(candidate) === chosen) ?? nextStep(batch)
  const last = taken && steps.find((candidate) => lineKey(candidate) === taken)
  const ofPart = line ? steps.filter(({ part }) => part === line.part) : []
  const choose = (next: BatchLine) => {
    setChosen(lineKey(next))
    setTaken(undefined)
    top.current?.scrollIntoView()
  }
  const take = (next: BatchDetail, weighed: BatchLine) => {
    setChosen(undefined)
    setTaken(lineKey(weighed))
    onChange(next)
    top.current?.scrollIntoView()
  }
  return (
    <div className="k-stack" ref={top}>
      {last && lineKey(last) !== chosen && <TakenBack line={last} onCorrect={() => choose(last)} />}
      {line ? (
        <Card>
          <WeighStep
            key={`${lineKey(line)} ${line.actualKg ?? ''}`}
            batch={batch}
            line={line}
            step={ofPart.indexOf(line) + 1}
            steps={ofPart.length}
            onTaken={take}
            onOther={() => rows.current?.scrollIntoView()}
          />
        </Card>
      ) : (
        <FinishLoad batch={batch} onChange={onChange} />
      )}
      <div className="k-stack" ref={rows}>
        <AllRows batch={batch} onWeigh={choose} current={line && lineKey(line)} />
      </div>
    </div>
  )
}

/** Both parts of the sheet, the pre-blend first as it is made first. */
export const AllRows = ({
  batch,
  onWeigh,
  current,
}: {
  batch: BatchDetail
  onWeigh?: ((line: BatchLine) => void) | undefined
  current?: string | undefined
}) => {
  const { t } = useStaffWords()
  return (
    <>
      {batch.lines.some(({ part }) => part === 'pre-blend') && (
        <Card title={t('load.row.ofPreBlend')}>
          <LoadRows batch={batch} part="pre-blend" onWeigh={onWeigh} current={current} />
        </Card>
      )}
      <Card title={t('load.row.ofLoad')}>
        <LoadRows batch={batch} part="load" onWeigh={onWeigh} current={current} />
      </Card>
    </>
  )
}

import { useState } from 'react'
import type { FindingView } from '#contract/findings'
import { useStaffWords } from '../../i18n/words'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { findingWords } from '../../ui/findingWords'
import { RefusalList } from '../../ui/RefusalCard'
import { Pictogram } from '../../ui/Shape'
import type { Problem } from '../../providers/http'
import { CallManager } from './batchParts'
import type { BatchDetail } from './batchModel'
import { useSheet } from './useSheet'

type Refusal = { readonly facts?: { readonly findings?: readonly FindingView[] } }

/** The findings for which the mill refused, as it sent them with the refusal. */
export const refusedFindings = (problem: Problem | undefined): readonly FindingView[] => {
  if (problem?.code !== 'safety-block') return []
  const refusal = problem.body as Refusal | null
  return refusal?.facts?.findings ?? []
}

/** A mixer that held medicine can be made fit by a flush; nothing else can be answered here. */
const isCarryOver = ({ topic }: FindingView): boolean => topic === 'carry-over'

type FlushProps = { readonly asked: boolean; readonly busy: boolean; readonly onFlushed: () => Promise<unknown> }

/** A flush may be enough, or a load without medicine is needed as well: the mill says so when it is asked again. */
const FlushQuestion = ({ asked, busy, onFlushed }: FlushProps) => {
  const { t } = useStaffWords()
  if (asked) {
    return (
      <>
        <p className="k-strong">{t('load.start.drugFree')}</p>
        <CallManager />
      </>
    )
  }
  return (
    <>
      <p className="k-verdict-line k-strong">
        <Pictogram name="broom" size={32} /> <span>{t('load.start.flush')}</span>
      </p>
      <Button kind="main" busy={busy} onPress={onFlushed}>
        {t('load.start.flushed')}
      </Button>
      <CallManager />
    </>
  )
}

/** What must be true before a load begins, and the mill's own checks of lots and mixer when it is begun. */
export const StartLoad = ({ batch, onChange }: { batch: BatchDetail; onChange: (batch: BatchDetail) => void }) => {
  const { t, language } = useStaffWords()
  const { send, busy, problem } = useAct()
  const { sheet } = useSheet(batch.id, language)
  const [flushed, setFlushed] = useState(false)
  const start = async (flushRun: boolean) => {
    setFlushed(flushRun)
    const begun = await send<BatchDetail>({
      method: 'POST',
      path: `/batches/${batch.id}/start`,
      body: { flushed: flushRun },
      revision: batch.revision,
    })
    if (begun) onChange(begun)
  }
  const findings = refusedFindings(problem)
  const flushHelps = findings.length > 0 && findings.every(isCarryOver)
  return (
    <Card title={t('load.start.before')}>
      <ul className="k-quiet-list k-stack">
        <li className="k-verdict-line">
          <Pictogram name="mixer" size={32} /> <span>{t('load.start.empty')}</span>
        </li>
        {sheet?.before[1] !== undefined && (
          <li className="k-verdict-line">
            <Pictogram name="broom" size={32} /> <span>{sheet.before[1]}</span>
          </li>
        )}
        <li className="k-verdict-line">
          <Pictogram name="scale" size={32} /> <span>{t('load.start.scale')}</span>
        </li>
        <li className="k-verdict-line">
          <Pictogram name="mask-and-gloves" size={32} /> <span>{t('load.start.mask')}</span>
        </li>
      </ul>
      {findings.length > 0 && (
        <RefusalList
          findings={findings.map((finding) => ({
            ...findingWords(finding, { t, language }),
            ...(isCarryOver(finding) && flushHelps
              ? { next: <FlushQuestion asked={flushed && !busy} busy={busy} onFlushed={() => start(true)} /> }
              : { next: <CallManager /> }),
          }))}
        />
      )}
      {problem && findings.length === 0 && <FailureBar problem={problem} />}
      {findings.length === 0 && (
        <Button kind="main" wide busy={busy} onPress={() => start(false)}>
          {t('load.start.button', { number: batch.number })}
        </Button>
      )}
    </Card>
  )
}

import { useQuery } from '@tanstack/react-query'
import { useDataProvider } from 'react-admin'
import type { z } from 'zod'
import type { UsedBatchView, UsedLotView } from '#contract/laboratory'
import { useStaffWords } from '../../i18n/words'
import type { MillDataProvider } from '../../providers/dataProvider'
import { asProblem } from '../../shell/useAct'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { findingWords } from '../../ui/findingWords'
import { RefusalCard } from '../../ui/RefusalCard'
import { Loading } from '../../ui/Waiting'
import { limitWords } from '../discrepancies/discrepancyWords'

type UsedBatch = z.output<typeof UsedBatchView>

const FailingBatch = ({ batch }: { batch: UsedBatch }) => {
  const words = useStaffWords()
  const { t } = words
  const limits = batch.limits.map((id) => limitWords(id, words))
  const told = batch.findings.map((finding) => findingWords(finding, words))
  const next = batch.handedOver ? 'handedOver' : batch.startedAt === null ? 'notBegun' : batch.status === 'on-hold' ? 'onHold' : null
  return (
    <RefusalCard
      verdict="block"
      what={t('used.fails', { load: batch.batchNumber })}
      reasons={[
        ...(limits.length > 0 ? [t('used.limits', { limits: limits.join(', ') })] : []),
        ...told.flatMap(({ what, reasons }) => [what, ...reasons]),
      ]}
      next={
        <>
          <a className="k-button" href={`#/batches/${batch.batchId}/show`}>
            {t('used.open', { load: batch.batchNumber })}
          </a>
          {next && <span>{t(`used.${next}`)}</span>}
        </>
      }
    />
  )
}

/** Loads with a lot: those that fail with what is known now each with its reason, the others in one sentence. */
export const UsedBatches = ({ batches }: { batches: readonly UsedBatch[] }) => {
  const { t } = useStaffWords()
  const inside = batches.filter((batch) => batch.inside)
  return (
    <>
      {batches
        .filter((batch) => !batch.inside)
        .map((batch) => (
          <FailingBatch key={batch.batchId} batch={batch} />
        ))}
      {inside.length > 0 && (
        <p>{t('used.inside', { smart_count: inside.length, loads: inside.map(({ batchNumber }) => batchNumber).join(', ') })}</p>
      )}
    </>
  )
}

/** On the page of a lot: every load that holds it, checked again by the mill at this moment. */
export const LotBatches = ({ lotId, revision }: { lotId: string; revision: number }) => {
  const { t } = useStaffWords()
  const mill = useDataProvider<MillDataProvider>()
  const { data, error, isPending, refetch } = useQuery({
    queryKey: ['lot-batches', lotId, revision],
    queryFn: () => mill.act<z.output<typeof UsedLotView>>('GET', `/lots/${lotId}/batches`),
    retry: false,
  })
  return (
    <Card title={t('used.title')}>
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {isPending && <Loading rows={1} />}
      {data && (data.batches.length === 0 ? <p>{t('used.none')}</p> : <UsedBatches batches={data.batches} />)}
    </Card>
  )
}

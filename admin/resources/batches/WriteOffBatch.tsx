import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { EffectPage } from '../../ui/EffectPage'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { feedName, type BatchDetail } from './batchModel'
import { useBatch, useKeepBatch } from './useBatch'

const Decide = ({ batch }: { batch: BatchDetail }) => {
  const { t, language } = useStaffWords()
  const navigate = useNavigate()
  const { send, problem } = useAct()
  const keep = useKeepBatch()
  const title = t('load.writeOffPage.title', { number: batch.number })
  usePageTitle(title)
  const back = () => void navigate(`/batches/${batch.id}/show`)
  const writeOff = async ({ reason }: { reason: string }) => {
    const path = `/batches/${batch.id}/write-off`
    const done = await send<BatchDetail>({ method: 'POST', path, body: { reason }, revision: batch.revision })
    if (!done) return
    keep(done)
    back()
  }
  const kg = formatKg(batch.bagsOnHandKg)
  return (
    <EffectPage
      title={title}
      danger
      effect={
        <>
          <p>{t('load.writeOffPage.effect', { kg, feed: feedName(batch, language), member: batch.memberName })}</p>
          <p>{t('load.writeOffPage.order', { order: batch.orderNumber })}</p>
        </>
      }
      confirmLabel={t('load.writeOffPage.button', { kg })}
      reasonLabel={t('load.writeOffPage.reason')}
      onConfirm={writeOff}
      onCancel={back}
      problem={problem}
    />
  )
}

/** Bags that may not be handed over leave the stock; their load, and with the last one the order, is cancelled. */
const WriteOffBatch = () => {
  const { id = '' } = useParams()
  const { batch, error } = useBatch(id)
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  return batch ? <Decide batch={batch} /> : <Loading />
}

export default WriteOffBatch

import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { asProblem, useAct } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { EffectPage } from '../../ui/EffectPage'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { heldFor } from './batchParts'
import { factsOf } from '../orders/WhyNotPlanned'
import { feedName, isCollected, type BatchDetail } from './batchModel'
import { useBatch, useKeepBatch } from './useBatch'

const DecideHold = ({ batch, release }: { batch: BatchDetail; release: boolean }) => {
  const { t, language } = useStaffWords()
  const navigate = useNavigate()
  const { send, problem } = useAct()
  const keep = useKeepBatch()
  const title = t(release ? 'load.holdPage.releaseTitle' : 'load.holdPage.title', { number: batch.number })
  usePageTitle(title)
  const back = () => void navigate(`/batches/${batch.id}/show`)
  const decide = async ({ reason }: { reason: string }) => {
    const path = `/batches/${batch.id}/${release ? 'release-hold' : 'hold'}`
    const done = await send<BatchDetail>({ method: 'POST', path, body: { reason }, revision: batch.revision })
    if (!done) return
    keep(done)
    back()
  }
  const gone = !release && (isCollected(batch) || (problem !== undefined && factsOf(problem)['status'] === 'collected'))
  const facts = { kg: formatKg(batch.madeKg ?? batch.loadKg), feed: feedName(batch, language), member: batch.memberName }
  const released = batch.finishedAt === null ? 'load.holdPage.releasePlanned' : 'load.holdPage.releaseEffect'
  return (
    <EffectPage
      title={title}
      effect={
        <>
          <p>{t(release ? released : 'load.holdPage.effect', facts)}</p>
          {release && <p>{t('load.holdPage.heldBecause', { reason: heldFor(batch.statusReason, t) })}</p>}
        </>
      }
      confirmLabel={t(release ? 'load.holdPage.releaseButton' : 'load.holdPage.button', { number: batch.number })}
      reasonLabel={t(release ? 'load.holdPage.releaseReason' : 'load.holdPage.reason')}
      onConfirm={decide}
      onCancel={back}
      problem={problem}
    >
      {gone && <p className="k-strong">{t('load.holdPage.collected')}</p>}
    </EffectPage>
  )
}

export const HoldPage = ({ release }: { release: boolean }) => {
  const { id = '' } = useParams()
  const { batch, error } = useBatch(id)
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  return batch ? <DecideHold batch={batch} release={release} /> : <Loading />
}

const HoldBatch = () => <HoldPage release={false} />

export default HoldBatch

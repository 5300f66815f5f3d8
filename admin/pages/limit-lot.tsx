import { useState } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { StagePicker } from '../resources/lots/StagePicker'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar, FieldError } from '../ui/Failure'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

const Limit = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem, errorAt } = useAct()
  const [stages, setStages] = useState<readonly string[]>(lot.releasedFor)
  const back = () => void navigate(`/lots/${lot.id}/show`)
  const limit = async ({ reason }: { reason: string }) => {
    const done = await send({ method: 'POST', path: `/lots/${lot.id}/limit`, body: { stages, reason }, revision: lot.revision })
    await cache.invalidateQueries()
    if (done) back()
  }
  const wrong = errorAt('stages')
  return (
    <EffectPage
      danger
      title={title}
      effect={<p>{t('terms.limitEffect', { kg: formatKg(lot.onHandKg) })}</p>}
      confirmLabel={t('terms.limitConfirm', { number: lot.number })}
      reasonLabel={t('terms.holdReason')}
      problem={problem?.fields.length === 0 ? problem : undefined}
      onConfirm={limit}
      onCancel={back}
    >
      <StagePicker value={stages} onChange={setStages} among={lot.releasedFor} />
      {wrong && <FieldError id="limit-stages-error">{wrong}</FieldError>}
    </EffectPage>
  )
}

const LimitLot = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const may = useMay()
  const { lot, name, problem, again } = useLot(id)
  const title = lot ? t('terms.limitTitle', { number: lot.number, name }) : t('lots.lot')
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  if (lot.status === 'released' && may('release', 'lots')) return <Limit lot={lot} title={title} />
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{lot.status === 'released' ? t('page.notYours') : t('terms.limitNotPossible', { number: lot.number })}</p>
      <div>
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('release.toLot', { number: lot.number })}
        </a>
      </div>
    </div>
  )
}

export default LimitLot

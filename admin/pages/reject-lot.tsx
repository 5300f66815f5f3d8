import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { LotFindings } from '../resources/lots/LotFindings'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

const Reject = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem } = useAct()
  const back = () => void navigate(`/lots/${lot.id}/show`)
  const reject = async ({ reason }: { reason: string }) => {
    const done = await send({ method: 'POST', path: `/lots/${lot.id}/reject`, body: { reason }, revision: lot.revision })
    await cache.invalidateQueries()
    if (done) back()
  }
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('reject.effect', { kg: formatKg(lot.onHandKg) })}</p>
          {Number(lot.reservedKg) > 0 && <p>{t('reject.reserved', { kg: formatKg(lot.reservedKg) })}</p>}
        </>
      }
      confirmLabel={t('reject.confirm', { number: lot.number })}
      reasonLabel={t('reject.reason')}
      problem={problem}
      onConfirm={reject}
      onCancel={back}
    >
      <LotFindings findings={lot.findings.filter(({ severity }) => severity !== 'pass')} />
    </EffectPage>
  )
}

const RejectLot = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const may = useMay()
  const { lot, name, problem, again } = useLot(id)
  const title = lot ? t('reject.title', { number: lot.number, name }) : t('action.reject')
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const open = lot.status === 'on-hold' || lot.status === 'released'
  if (open && may('reject', 'lots')) return <Reject lot={lot} title={title} />
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{open ? t('page.notYours') : t('reject.notPossible', { number: lot.number })}</p>
      <div>
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('release.toLot', { number: lot.number })}
        </a>
      </div>
    </div>
  )
}

export default RejectLot

import { useState } from 'react'
import { useQueryClient } from '@tanstack/react-query'
import { useNavigate, useParams } from 'react-router-dom'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { LotTerms } from '../resources/lots/LotTerms'
import { useLot, type LotDetail } from '../resources/lots/useLot'
import { useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Field } from '../ui/Field'
import { Loading } from '../ui/Waiting'
import '../resources/lots/lots.css'

const Hold = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const cache = useQueryClient()
  const { send, problem, errorAt } = useAct()
  const [until, setUntil] = useState(lot.holdUntil ?? '')
  const back = () => void navigate(`/lots/${lot.id}/show`)
  const hold = async ({ reason }: { reason: string }) => {
    const body = { reason, until: until === '' ? null : until }
    const done = await send({ method: 'POST', path: `/lots/${lot.id}/hold`, body, revision: lot.revision })
    await cache.invalidateQueries()
    if (done) back()
  }
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('terms.holdEffect', { kg: formatKg(lot.onHandKg) })}</p>
          {Number(lot.reservedKg) > 0 && <p>{t('terms.holdReserved', { kg: formatKg(lot.reservedKg) })}</p>}
        </>
      }
      confirmLabel={t('terms.holdConfirm', { number: lot.number })}
      reasonLabel={t('terms.holdReason')}
      problem={problem?.fields.length === 0 ? problem : undefined}
      onConfirm={hold}
      onCancel={back}
    >
      <LotTerms lot={lot} />
      <Field
        label={t('terms.holdUntil')}
        hint={t('terms.holdUntilHint')}
        type="date"
        value={until}
        onChange={setUntil}
        error={errorAt('until')}
      />
    </EffectPage>
  )
}

const HoldLot = () => {
  const { t } = useStaffWords()
  const { id = '' } = useParams()
  const may = useMay()
  const { lot, name, problem, again } = useLot(id)
  const title = lot ? t('terms.holdTitle', { number: lot.number, name }) : t('lots.lot')
  usePageTitle(title)
  if (problem && !lot) return <FailureBar problem={problem} doing="load" onTryAgain={again} />
  if (!lot) return <Loading rows={4} />
  const open = lot.status === 'on-hold' || lot.status === 'released'
  if (open && may('release', 'lots')) return <Hold lot={lot} title={title} />
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p>{open ? t('page.notYours') : t('terms.notPossible', { number: lot.number })}</p>
      <div>
        <a className="k-button" href={`#/lots/${lot.id}/show`}>
          {t('release.toLot', { number: lot.number })}
        </a>
      </div>
    </div>
  )
}

export default HoldLot

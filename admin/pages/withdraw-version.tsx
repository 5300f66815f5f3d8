import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import type { Version } from '../resources/formula-versions/versionForm'
import { WaitingOrders } from '../resources/formula-versions/WaitingOrders'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

/** Takes a version out of use, with the reason that stays with it. */
const WithdrawVersion = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const { data: version, error } = useWhole<Version>('formula-versions', id)
  const { send, problem } = useAct()
  const name = version ? (language === 'en' ? version.nameEn : version.nameSw) : ''
  const title = version ? t('formula.withdrawTitle', { name, version: version.version }) : t('nav.formulas')
  usePageTitle(title)
  const back = () => void navigate(`/formula-versions/${id}/show`)
  const withdraw = async ({ reason }: { reason: string }) => {
    const path = `/formula-versions/${id}/withdraw`
    const done = await send<Version>({ method: 'POST', path, body: { reason }, revision: version?.revision })
    if (done) back()
  }
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!version) return <Loading />
  const approved = version.status === 'approved'
  return (
    <EffectPage
      title={title}
      danger
      effect={
        <>
          <p>{t(approved ? 'formula.withdrawEffect' : 'formula.withdrawSubmitted')}</p>
          {approved && <WaitingOrders formulaId={version.formulaId} />}
        </>
      }
      confirmLabel={t('formula.withdrawButton', { version: version.version })}
      reasonLabel={t('formula.withdrawReason')}
      onConfirm={withdraw}
      onCancel={back}
      problem={problem}
    />
  )
}

export default WithdrawVersion

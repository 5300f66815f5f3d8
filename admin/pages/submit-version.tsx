import { useNavigate, useParams } from 'react-router-dom'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { Findings } from '../resources/formula-versions/Findings'
import { MixCost } from '../resources/formula-versions/MixCost'
import { tonneOf, useSolve } from '../resources/formula-versions/useSolve'
import type { Version } from '../resources/formula-versions/versionForm'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Card } from '../ui/Card'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { Loading } from '../ui/Waiting'

const limitCount = ({ limits }: Version): number =>
  limits.nutrients.length + limits.ingredients.length + limits.groups.length + limits.ratios.length

/** Hands a draft in for approval; from then on it does not change. */
const SubmitVersion = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const navigate = useNavigate()
  const { data: version, error } = useWhole<Version>('formula-versions', id)
  const { send, problem } = useAct()
  const name = version ? (language === 'en' ? version.nameEn : version.nameSw) : ''
  const title = version ? t('formula.submitTitle', { name, version: version.version }) : t('nav.formulas')
  usePageTitle(title)
  const back = () => void navigate(`/formula-versions/${id}/show`)
  const submit = async () => {
    const done = await send<Version>({ method: 'POST', path: `/formula-versions/${id}/submit`, revision: version?.revision })
    if (done) back()
  }
  const solved = useSolve(version ? tonneOf(version) : null)
  if (error) return <FailureBar problem={asProblem(error)} doing="load" />
  if (!version) return <Loading />
  return (
    <EffectPage
      title={title}
      effect={
        <>
          <p>{t('formula.submitEffect', { smart_count: limitCount(version) })}</p>
          <MixCost {...solved} />
        </>
      }
      confirmLabel={t('formula.submitButton', { version: version.version })}
      onConfirm={submit}
      onCancel={back}
      problem={problem}
    >
      <Card title={t('formula.checks')}>
        <Findings findings={version.findings} />
      </Card>
    </EffectPage>
  )
}

export default SubmitVersion

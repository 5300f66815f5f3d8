import { useState } from 'react'
import { usePermissions } from 'react-admin'
import { useParams } from 'react-router-dom'
import type { Role } from '#contract/access'
import { useStaffWords } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { Loading } from '../../ui/Waiting'
import { DraftEditor } from './DraftEditor'
import { Findings } from './Findings'
import { LimitsTold } from './LimitsTold'
import { LiveAnswer, useLiveAnswer } from './LiveAnswer'
import { VersionHead } from './VersionHead'
import { NO_TRIAL, type Trial, type Version } from './versionForm'
import './version.css'

/** The mix that the limits of a version which does not change any more give today. */
const AnswerOfVersion = ({ version }: { version: Version }) => {
  const [trial, setTrial] = useState<Trial>(NO_TRIAL)
  const asked = { limits: version.limits, medication: version.medication }
  const state = useLiveAnswer({ stage: version.stage, asked, saved: asked, trial })
  return <LiveAnswer state={state} trial={trial} onTrial={setTrial} />
}

const Told = ({ version, solves }: { version: Version; solves: boolean }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-page">
      <VersionHead version={version} />
      <div className={solves ? 'k-columns' : 'k-stack'}>
        <div className="k-stack">
          <LimitsTold version={version} />
          <Card title={t('formula.checks')}>
            <Findings findings={version.findings} />
          </Card>
        </div>
        {solves && <AnswerOfVersion version={version} />}
      </div>
    </div>
  )
}

/** One version of a formula: a draft is changed here, any other is told in words; beside it the mix its limits give today. */
const VersionPage = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { permissions: role } = usePermissions<Role | null>()
  const { data: version, error, refetch } = useWhole<Version>('formula-versions', id)
  const name = version && (language === 'en' ? version.nameEn : version.nameSw)
  usePageTitle(version && name ? t('formula.versionNamed', { name, version: version.version }) : t('nav.formulas'))
  if (error) {
    return (
      <div className="k-page">
        <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />
      </div>
    )
  }
  if (!version || !role) {
    return (
      <div className="k-page">
        <Loading rows={6} />
      </div>
    )
  }
  const edits = canAccess(role, 'edit', 'formulas')
  if (version.status === 'draft' && edits) {
    return <DraftEditor key={version.id} version={version} onReload={async () => (await refetch()).data} />
  }
  return <Told version={version} solves={edits} />
}

export default VersionPage

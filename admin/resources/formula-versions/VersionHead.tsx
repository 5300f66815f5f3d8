import { memo } from 'react'
import { useNavigate } from 'react-router-dom'
import { useGetIdentity, usePermissions } from 'react-admin'
import type { Role } from '#contract/access'
import { formatDate } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { canAccess } from '../../providers/canAccess'
import { useAct } from '../../shell/useAct'
import { Button } from '../../ui/Button'
import { FailureBar } from '../../ui/Failure'
import { StateWord } from '../../ui/StateWord'
import type { Version } from './versionForm'

/** What this role may do with the version in its state. */
const Actions = ({ version, unsaved }: { version: Version; unsaved: boolean }) => {
  const { t } = useStaffWords()
  const navigate = useNavigate()
  const { permissions: role } = usePermissions<Role | null>()
  const { identity } = useGetIdentity()
  const { send, problem } = useAct()
  if (!role) return null
  const own = identity?.id === version.authorId
  const may = (action: string): boolean => canAccess(role, action, 'formulas')
  const to = (page: string) => `#/formula-versions/${version.id}/${page}`
  const begin = async () => {
    const made = await send<Version>({ method: 'POST', path: `/formulas/${version.formulaId}/versions` })
    if (made) void navigate(`/formula-versions/${made.id}/show`)
  }
  const open = version.status === 'approved' || version.status === 'submitted'
  return (
    <>
      <div className="k-actions">
        {version.status === 'draft' && may('submit') && !unsaved && (
          <a className="k-button" data-kind="main" href={to('submit')}>
            {t('formula.submit')}
          </a>
        )}
        {version.status === 'submitted' && may('approve') && !own && (
          <a className="k-button" data-kind="main" href={to('approve')}>
            {t('formula.approve')}
          </a>
        )}
        {(version.status === 'approved' || version.status === 'withdrawn') && may('edit') && (
          <Button onPress={begin}>{t('formula.newVersion')}</Button>
        )}
        {open && may('withdraw') && (
          <a className="k-button" data-kind="danger" href={to('withdraw')}>
            {t('formula.withdraw')}
          </a>
        )}
      </div>
      {version.status === 'submitted' && may('approve') && own && <p>{t('formula.approveOwn')}</p>}
      {problem?.code === 'already-exists' ? (
        <p role="alert">{t('problem.already-exists')}</p>
      ) : (
        problem && <FailureBar problem={problem} onTryAgain={begin} />
      )}
    </>
  )
}

/** Name, state, who and when, price, and what can be done. */
export const VersionHead = memo(function VersionHead({ version, unsaved = false }: { version: Version; unsaved?: boolean }) {
  const { t, language } = useStaffWords()
  const name = language === 'en' ? version.nameEn : version.nameSw
  const day = (iso: string | null): string => (iso === null ? '' : formatDate(iso, language))
  return (
    <div className="k-stack">
      <h1>{t('formula.versionNamed', { name, version: version.version })}</h1>
      <p className="k-row">
        <StateWord thing="version" state={version.status} />
        <a href={`#/formulas/${version.formulaId}/show`}>{t('formula.named', { number: version.formulaNumber, name })}</a>
        <span>{t(`stage.${version.stage}` as StaffKey)}</span>
      </p>
      <p className="k-caption">
        {t('formula.byOn', { name: version.author, date: day(version.createdAt) })}
        {version.submittedAt && `. ${t('formula.submittedOn', { date: day(version.submittedAt) })}`}
        {version.approvedBy && `. ${t('formula.approvedBy', { name: version.approvedBy, date: day(version.approvedAt) })}`}
      </p>
      {version.withdrawnAt && <p>{t('formula.withdrawnOn', { date: day(version.withdrawnAt), reason: version.withdrawnReason ?? '' })}</p>}
      {version.pricePerKg && <p className="k-strong">{t('formula.perKg', { price: formatAccount(version.pricePerKg) })}</p>}
      <Actions version={version} unsaved={unsaved} />
    </div>
  )
})

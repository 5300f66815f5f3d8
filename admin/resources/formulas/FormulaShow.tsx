import { useParams } from 'react-router-dom'
import { formatDate } from '../../format/dates'
import { formatAccount } from '../../format/money'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useWhole } from '../../providers/useWhole'
import { asProblem } from '../../shell/useAct'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card, Row } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { StateWord } from '../../ui/StateWord'
import { Loading } from '../../ui/Waiting'
import type { Formula } from './FormulaList'

const Version = ({ version }: { version: Formula['versions'][number] }) => {
  const { t, language } = useStaffWords()
  return (
    <Row
      action={
        <a className="k-button" href={`#/formula-versions/${version.id}/show`}>
          {t('action.open')}
        </a>
      }
    >
      <span className="k-row">
        <span className="k-strong">{t('formula.version', { version: version.version })}</span>
        <StateWord thing="version" state={version.status} />
        {version.pricePerKg && <span className="k-tabular">{t('formula.perKg', { price: formatAccount(version.pricePerKg) })}</span>}
      </span>
      <span className="k-caption">
        {t('formula.byOn', { name: version.author, date: formatDate(version.createdAt, language) })}
        {version.approvedBy &&
          version.approvedAt &&
          `. ${t('formula.approvedBy', { name: version.approvedBy, date: formatDate(version.approvedAt, language) })}`}
      </span>
    </Row>
  )
}

const FormulaShow = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { data: formula, error, refetch } = useWhole<Formula>('formulas', id)
  const name = formula && (language === 'en' ? formula.nameEn : formula.nameSw)
  usePageTitle(formula && name ? t('formula.named', { number: formula.number, name }) : t('nav.formulas'))
  return (
    <div className="k-page">
      {error && <FailureBar problem={asProblem(error)} doing="load" onTryAgain={() => void refetch()} />}
      {!formula && !error && <Loading rows={4} />}
      {formula && (
        <>
          <h1>{t('formula.named', { number: formula.number, name: name ?? '' })}</h1>
          <p>{t(`stage.${formula.stage}` as StaffKey)}</p>
          <p className="k-strong">
            {formula.approved?.pricePerKg
              ? t('formula.perKg', { price: formatAccount(formula.approved.pricePerKg) })
              : t('formula.noneApproved')}
          </p>
          <Card title={t('formula.versions')}>
            {formula.versions.map((version) => (
              <Version key={version.id} version={version} />
            ))}
          </Card>
        </>
      )}
    </div>
  )
}

export default FormulaShow

import { useGetIdentity } from 'react-admin'
import { useNavigate, useParams } from 'react-router-dom'
import { formatDate } from '../format/dates'
import { formatAccount, formatPrice } from '../format/money'
import { formatNumber } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useWhole } from '../providers/useWhole'
import { Findings } from '../resources/formula-versions/Findings'
import { limitChanges } from '../resources/formula-versions/limitChanges'
import { MixAnswer } from '../resources/formula-versions/MixAnswer'
import { FigureRow, MixCost } from '../resources/formula-versions/MixCost'
import { useIngredients } from '../resources/formula-versions/useIngredients'
import { tonneOf, useSolve } from '../resources/formula-versions/useSolve'
import type { Version } from '../resources/formula-versions/versionForm'
import { WaitingOrders } from '../resources/formula-versions/WaitingOrders'
import type { Formula } from '../resources/formulas/FormulaList'
import { asProblem, useAct } from '../shell/useAct'
import { usePageTitle } from '../shell/usePageTitle'
import { Button } from '../ui/Button'
import { Card } from '../ui/Card'
import { EffectPage } from '../ui/EffectPage'
import { FailureBar } from '../ui/Failure'
import { RefusalCard } from '../ui/RefusalCard'
import { Loading } from '../ui/Waiting'

type EffectProps = {
  readonly version: Version
  readonly approved: Formula['approved']
  readonly before: Version | undefined
  readonly solved: ReturnType<typeof useSolve>
}

/** What approving does, in numbers: price now, ingredients a tonne of both versions from the same lots, orders that wait. */
const Effect = ({ version, approved, before, solved }: EffectProps) => {
  const { t } = useStaffWords()
  const { mix: mixBefore } = useSolve(before ? tonneOf(before) : null)
  const cost = solved.mix?.costPerTonne
  const costBefore = mixBefore?.costPerTonne
  const difference = cost && costBefore ? Number(cost) - Number(costBefore) : null
  return (
    <>
      <p>{t('formula.approveNew')}</p>
      {approved && <p>{t('formula.approveReplaces', { version: approved.version })}</p>}
      <FigureRow
        label={t('formula.approveNow')}
        value={approved?.pricePerKg ? t('formula.perKg', { price: formatAccount(approved.pricePerKg) }) : t('formula.approveNone')}
      />
      <MixCost {...solved} />
      {before && costBefore && (
        <FigureRow label={t('formula.approveCostBefore', { version: before.version })} value={formatPrice(costBefore)} />
      )}
      {difference !== null && (
        <FigureRow label={t('formula.approveDifference')} value={`${difference > 0 ? '+' : ''}KES\u00a0${formatNumber(difference, 0)}`} />
      )}
      <WaitingOrders formulaId={version.formulaId} />
    </>
  )
}

const Changes = ({ before, version }: { before: Version; version: Version }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const changes = limitChanges(before.limits, version.limits, { t, nameOf })
  return (
    <Card title={t('formula.changes')}>
      {changes.length === 0 && <p>{t('formula.changesNone', { version: before.version })}</p>}
      <ul>
        {changes.map((change) => (
          <li key={change}>{change}</li>
        ))}
      </ul>
    </Card>
  )
}

const Approve = ({ version, formula }: { version: Version; formula: Formula }) => {
  const { t, language } = useStaffWords()
  const navigate = useNavigate()
  const { identity } = useGetIdentity()
  const approved = formula.approved
  const { data: before } = useWhole<Version>('formula-versions', approved?.id ?? '', { enabled: approved !== null })
  const solved = useSolve(tonneOf(version))
  const { mix } = solved
  const { send, problem, errorAt } = useAct()
  const name = language === 'en' ? version.nameEn : version.nameSw
  const back = () => void navigate(`/formula-versions/${version.id}/show`)
  const approve = async ({ password }: { password: string }) => {
    const path = `/formula-versions/${version.id}/approve`
    const done = await send<Version>({ method: 'POST', path, body: { password }, revision: version.revision })
    if (done) back()
  }
  const title = t('formula.approveTitle', { name, version: version.version })
  const effect = <Effect version={version} approved={approved} before={before} solved={solved} />
  const against = (
    <>
      <p>
        {t('formula.approveProposed', {
          name: version.author,
          date: version.submittedAt ? formatDate(version.submittedAt, language) : '',
        })}
      </p>
      {before && <Changes before={before} version={version} />}
      <Card title={t('formula.checks')}>
        <Findings findings={version.findings} />
      </Card>
      {mix && (
        <Card title={t('mixture.title')}>
          {mix.kind === 'infeasible' && <p className="k-strong">{t('formula.approveInfeasible')}</p>}
          <MixAnswer mix={mix} brief />
        </Card>
      )}
    </>
  )
  // who proposed a version is shown what it does, and in place of the button why another person presses it
  if (identity?.id === version.authorId || problem?.code === 'self-approval') {
    return (
      <div className="k-effect k-stack">
        <h1>{title}</h1>
        <div className="k-effect-numbers">{effect}</div>
        <RefusalCard verdict="block" what={t('problem.self-approval')} reasons={[t('formula.approveOwn')]} />
        {against}
        <div>
          <Button onPress={back}>{t('action.back')}</Button>
        </div>
      </div>
    )
  }
  return (
    <EffectPage
      title={title}
      effect={effect}
      confirmLabel={t('formula.approveButton', { version: version.version })}
      password
      passwordError={errorAt('password')}
      onConfirm={approve}
      onCancel={back}
      problem={problem && !errorAt('password') ? problem : undefined}
    >
      {against}
    </EffectPage>
  )
}

/** Approving a submitted version: what changes in numbers, what speaks against it, and the password that signs it. */
const ApproveVersion = () => {
  const { t, language } = useStaffWords()
  const { id = '' } = useParams()
  const { data: version, error } = useWhole<Version>('formula-versions', id)
  const { data: formula, error: lost } = useWhole<Formula>('formulas', version?.formulaId ?? '', { enabled: version !== undefined })
  const name = version ? (language === 'en' ? version.nameEn : version.nameSw) : ''
  usePageTitle(version ? t('formula.approveTitle', { name, version: version.version }) : t('nav.formulas'))
  const problem = error ?? lost
  if (problem) return <FailureBar problem={asProblem(problem)} doing="load" />
  return version && formula ? <Approve version={version} formula={formula} /> : <Loading rows={5} />
}

export default ApproveVersion

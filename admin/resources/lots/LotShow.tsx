import { useParams } from 'react-router-dom'
import type { FindingView } from '#contract/findings'
import { MAKING_KINDS } from '#core/stock/derived-lot'
import { formatDate, formatTime } from '../../format/dates'
import { formatNumber, withUnit } from '../../format/numbers'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { useMay } from '../../providers/useMay'
import { usePageTitle } from '../../shell/usePageTitle'
import { Card } from '../../ui/Card'
import { FailureBar } from '../../ui/Failure'
import { RefusalCard } from '../../ui/RefusalCard'
import { StateWord } from '../../ui/StateWord'
import { Loading } from '../../ui/Waiting'
import { WithPicture } from '../ingredients/names'
import { LotAndBook } from './LotAndBook'
import { LotFacts } from './LotFacts'
import { LotFindings } from './LotFindings'
import { LotMovements } from './LotMovements'
import { LotOrigin } from './LotOrigin'
import { LotPhotos } from './LotPhotos'
import { LotResults } from './LotResults'
import { LotTerms } from './LotTerms'
import { LotTests } from './LotTests'
import { LotBatches } from './UsedBatches'
import { analyteName } from './lotWords'
import { LotValues } from './LotValues'
import { SampleToTake } from './SampleToTake'
import { reasonWords } from './reasonWords'
import type { Step } from './stepWords'
import { useLot, type LotDetail } from './useLot'
import './lots.css'

const Actions = ({ lot }: { lot: LotDetail }) => {
  const { t } = useStaffWords()
  const may = useMay()
  const onHold = lot.status === 'on-hold'
  const blocks = lot.findings.filter(({ severity }) => severity === 'block')
  const blocked = blocks.length > 0
  // where only a lot in it stands in the way, no result of this one helps
  const wantsResults = blocks.some(({ ruleId }) => ruleId !== 'LOT-PART')
  return (
    <div className="k-actions">
      {may('create', 'assays') && (
        <a className="k-button" data-kind={onHold && wantsResults ? 'main' : 'plain'} href={`#/lots/${lot.id}/record`}>
          {t('lots.recordResults')}
        </a>
      )}
      {onHold && !blocked && lot.mayRelease && (
        <a className="k-button" data-kind="main" href={`#/lots/${lot.id}/release`}>
          {t('release.confirm', { number: lot.number })}
        </a>
      )}
      {may('release', 'lots') && (onHold || lot.status === 'released') && (
        <a className="k-button" href={`#/lots/${lot.id}/hold`}>
          {t('terms.holdConfirm', { number: lot.number })}
        </a>
      )}
      {may('release', 'lots') && lot.status === 'released' && (
        <a className="k-button" href={`#/lots/${lot.id}/limit`}>
          {t('terms.limitConfirm', { number: lot.number })}
        </a>
      )}
      {may('reject', 'lots') && (onHold || lot.status === 'released') && (
        <a className="k-button" data-kind="danger" href={`#/lots/${lot.id}/reject`}>
          {t('reject.confirm', { number: lot.number })}
        </a>
      )}
      <a className="k-button" href={`#/lots/${lot.id}/papers/card`}>
        {t('receiving.papersView')}
      </a>
      {may('change', 'lots') && onHold && lot.madeBy === null && lot.assays.length === 0 && (
        <a className="k-button" href={`#/lots/${lot.id}/correct`}>
          {t('receiving.correct')}
        </a>
      )}
      {may('change', 'lots') && (
        <>
          <a className="k-button" href={`#/lots/${lot.id}/count`}>
            {t('action.count')}
          </a>
          <a className="k-button" href={`#/lots/${lot.id}/write-off`}>
            {t('stockChange.writeOff.open')}
          </a>
          {lot.madeBy === null && (
            <a className="k-button" href={`#/lots/${lot.id}/return`}>
              {t('stockChange.return.open')}
            </a>
          )}
          {lot.status === 'released' &&
            Number(lot.freeKg) > 0 &&
            MAKING_KINDS.map((kind) => (
              <a key={kind} className="k-button" href={`#/lots/${lot.id}/make/${kind}`}>
                {t(`derived.open.${kind}`)}
              </a>
            ))}
        </>
      )}
      {may('read', 'traces') && (
        <a className="k-button" href={`#/trace?from=lot&number=${lot.number}`}>
          {t('lots.traceIt')}
        </a>
      )}
    </div>
  )
}

/** "Released by Juma, Tue 4 Aug 2026 10:12. Reason: ...", for as long as the lot stands. */
const Decision = ({ lot }: { lot: LotDetail }) => {
  const { t, language } = useStaffWords()
  if (lot.decidedAt === null || lot.decidedBy === null) return null
  const when = `${formatDate(lot.decidedAt, language)} ${formatTime(lot.decidedAt)}`
  if (lot.making?.undone) return <p>{t('derived.undoneBy', { who: lot.decidedBy, when, reason: lot.statusReason })}</p>
  const state = lot.status === 'used-up' ? 'released' : lot.status
  return (
    <>
      <p>
        {t('lots.decided', { state: t(`state.lot.${state}`), who: lot.decidedBy, when })}.{' '}
        {lot.statusReason && t('lots.decidedReason', { reason: reasonWords(lot.statusReason, t) })}
      </p>
      <p className="k-caption">{t('receiving.papersAgain')}</p>
    </>
  )
}

const Flag = ({ flag }: { flag: Step }) => {
  const { t } = useStaffWords()
  const key = `lots.flag.${flag.code}`
  const { analyte, low, high, unit } = flag.facts
  const figure = (value: unknown): string => (typeof value === 'number' ? withUnit(formatNumber(value, 1), String(unit ?? '')) : '')
  const words = t(key as StaffKey, { item: analyteName(String(analyte ?? ''), t), low: figure(low), high: figure(high) })
  return words === key ? null : (
    <div className="k-refusal k-warn">
      <p className="k-strong">{t('lots.look')}</p>
      <p>{words}</p>
    </div>
  )
}

/** A released lot that a later test condemns: the solver passes it over at once, and somebody must decide on what is left of it. */
const FailsNow = ({ lot: { status, findings } }: { lot: LotDetail }) => {
  const { t } = useStaffWords()
  if (status !== 'released' || findings.every(({ severity }) => severity !== 'block')) return null
  return <RefusalCard verdict="block" what={t('lots.fails')} reasons={[]} next={<p>{t('lots.failsNext')}</p>} />
}

const Whole = ({ lot, again }: { lot: LotDetail; again: () => void }) => {
  const { t } = useStaffWords()
  const may = useMay()
  const asksMedicine = lot.findings.some(({ what }) => what.code.startsWith('medicine-not-declared'))
  const actions = ({ what }: FindingView) =>
    ['required-test-missing', 'mill-test-missing', 'retest-missing', 'not-tested'].includes(what.code) && may('create', 'assays') ? (
      <a className="k-button" href={`#/lots/${lot.id}/record`}>
        {t('lots.recordResults')}
      </a>
    ) : null
  const warned = lot.findings.some(({ severity }) => severity === 'warn') && lot.findings.every(({ severity }) => severity !== 'block')
  return (
    <>
      <FailsNow lot={lot} />
      <Decision lot={lot} />
      <LotTerms lot={lot} />
      <Actions lot={lot} />
      {lot.status === 'on-hold' && warned && !lot.mayRelease && may('release', 'lots') && <p>{t('lots.managerDecides')}</p>}
      <div className="k-columns">
        <div className="k-stack">
          <Card title={t('lots.findings')}>
            {lot.flags.map((flag, index) => (
              <Flag key={index} flag={flag} />
            ))}
            {lot.findings.length === 0 && <p>{t('lots.noFindings')}</p>}
            <LotFindings findings={lot.findings} actions={actions} />
          </Card>
          <LotAndBook number={lot.number} composition={lot.composition} />
        </div>
        <div className="k-stack">
          <LotOrigin lot={lot} />
          <LotFacts lot={lot} asksMedicine={asksMedicine} />
          <LotPhotos
            lotId={lot.id}
            number={lot.number}
            photos={lot.photos}
            failed={lot.looks.flatMap(({ point, good }) => (good ? [] : [point]))}
            onAdded={again}
          />
          <SampleToTake plan={lot.samplePlan} />
        </div>
      </div>
      <LotResults assays={lot.assays} poisons={lot.poisons} />
      <LotTests tests={lot.tests} />
      <LotBatches lotId={lot.id} revision={lot.revision} />
      <LotValues composition={lot.composition} />
      <LotMovements lotId={lot.id} number={lot.number} />
    </>
  )
}

const LotShow = () => {
  const { id = '' } = useParams()
  const { lot, name, title, problem, again } = useLot(id)
  usePageTitle(title)
  return (
    <div className="k-page">
      {lot && (
        <div className="k-card-head">
          <h1>
            <WithPicture pictogram={lot.pictogram} size={32}>
              {title}
            </WithPicture>
          </h1>
          <StateWord thing="lot" state={lot.status} />
        </div>
      )}
      {problem && <FailureBar problem={problem} doing="load" onTryAgain={again} />}
      {!lot && !problem && <Loading rows={6} />}
      {lot && <Whole key={name} lot={lot} again={again} />}
    </div>
  )
}

export default LotShow

import { useState } from 'react'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { LotFindings } from '../resources/lots/LotFindings'
import { LotTerms } from '../resources/lots/LotTerms'
import { StagePicker } from '../resources/lots/StagePicker'
import type { LotDetail } from '../resources/lots/useLot'
import { Choice, Tick } from '../ui/Choice'
import { EffectPage } from '../ui/EffectPage'
import { Field } from '../ui/Field'
import { Icon } from '../ui/Shape'
import { LotDecision, LotLink, useLotDecision } from './lot-decision'

/** The card at the stack says what was decided. */
const CardLink = ({ lot }: { lot: LotDetail }) => {
  const { t } = useStaffWords()
  return (
    <a className="k-button" href={`#/lots/${lot.id}/papers/card`}>
      <Icon name="print" size={20} /> {t('receiving.card')}
    </a>
  )
}

/** A lot that cannot be released by this person now: why, and what can be done instead of a button that would not work. */
const Cannot = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const may = useMay()
  const held = lot.status === 'on-hold'
  const blocked = lot.findings.some(({ severity }) => severity === 'block')
  const why = !held
    ? t('release.notOnHold', { number: lot.number })
    : blocked
      ? t('release.blocked', { number: lot.number })
      : t('lots.managerDecides')
  return (
    <div className="k-page">
      <h1>{title}</h1>
      <p className="k-strong">{why}</p>
      <LotTerms lot={lot} />
      {held && <LotFindings findings={lot.findings} />}
      <div className="k-actions">
        <LotLink lot={lot} />
        <CardLink lot={lot} />
        {held && may('create', 'assays') && (
          <a className="k-button" href={`#/lots/${lot.id}/record`}>
            {t('lots.recordResults')}
          </a>
        )}
        {held && may('reject', 'lots') && (
          <a className="k-button" data-kind="danger" href={`#/lots/${lot.id}/reject`}>
            {t('reject.confirm', { number: lot.number })}
          </a>
        )}
      </div>
    </div>
  )
}

const Release = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const { decide, back, elsewhere, errorAt } = useLotDecision(lot, 'release')
  const [feeds, setFeeds] = useState<'all' | 'some'>('all')
  const [stages, setStages] = useState<readonly string[]>([])
  const [retestOn, setRetestOn] = useState('')
  const [thenCard, setThenCard] = useState(false)
  const [tried, setTried] = useState(false)
  const limited = feeds === 'some'
  const noneMarked = limited && stages.length === 0
  const warnings = lot.findings.filter(({ severity }) => severity === 'warn')
  const release = async ({ reason }: { reason: string }) => {
    setTried(true)
    // no stage marked would mean every feed
    if (noneMarked) return
    const terms = { reason, stages: limited ? stages : [], retestOn: retestOn === '' ? null : retestOn }
    // only then does the card say what was decided
    await decide(terms, thenCard ? 'papers/card' : 'show')
  }
  return (
    <EffectPage
      title={title}
      effect={
        <>
          <p>{Number(lot.onHandKg) > 0 ? t('release.effect', { kg: formatKg(lot.onHandKg) }) : t('release.nothingLeft')}</p>
          {warnings.length > 0 && <p>{t('release.warnings', { smart_count: warnings.length })}</p>}
        </>
      }
      confirmLabel={t('release.confirm', { number: lot.number })}
      {...(warnings.length > 0 ? { reasonLabel: t('release.reason') } : limited ? { reasonLabel: t('terms.why') } : {})}
      problem={elsewhere}
      onConfirm={release}
      onCancel={back}
    >
      <LotFindings findings={lot.findings} />
      <Choice
        label={t('terms.feeds')}
        value={feeds}
        choices={[
          { value: 'all', label: t('terms.allFeeds') },
          { value: 'some', label: t('terms.someFeeds') },
        ]}
        onChange={(value) => setFeeds(value === 'some' ? 'some' : 'all')}
        error={tried && noneMarked ? t('field.chooseOne') : (errorAt('stages') ?? errorAt('reason'))}
      />
      {limited && <StagePicker value={stages} onChange={setStages} />}
      <Field
        label={t('terms.retest')}
        hint={t('terms.retestHint')}
        type="date"
        value={retestOn}
        onChange={setRetestOn}
        error={errorAt('retestOn')}
      />
      <Tick label={t('release.thenCard')} checked={thenCard} onChange={setThenCard} />
    </EffectPage>
  )
}

const ReleaseLot = () => {
  const { t } = useStaffWords()
  return (
    <LotDecision untitled={t('action.release')} title={({ lot: { number }, name }) => t('release.title', { number, name })}>
      {(lot, title) => (lot.mayRelease ? <Release lot={lot} title={title} /> : <Cannot lot={lot} title={title} />)}
    </LotDecision>
  )
}

export default ReleaseLot

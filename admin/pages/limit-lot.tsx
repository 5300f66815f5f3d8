import { useState } from 'react'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { StagePicker } from '../resources/lots/StagePicker'
import type { LotDetail } from '../resources/lots/useLot'
import { EffectPage } from '../ui/EffectPage'
import { FieldError } from '../ui/Failure'
import { LotDecision, MadeOfIt, useLotDecision } from './lot-decision'

const Limit = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const { decide, back, elsewhere, errorAt } = useLotDecision(lot, 'limit')
  const [stages, setStages] = useState<readonly string[]>(lot.releasedFor)
  const wrong = errorAt('stages')
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('terms.limitEffect', { kg: formatKg(lot.onHandKg) })}</p>
          <MadeOfIt lot={lot} goes="alsoLimited" />
        </>
      }
      confirmLabel={t('terms.limitConfirm', { number: lot.number })}
      reasonLabel={t('terms.holdReason')}
      problem={elsewhere}
      onConfirm={({ reason }) => decide({ stages, reason })}
      onCancel={back}
    >
      <StagePicker value={stages} onChange={setStages} among={lot.releasedFor} />
      {wrong && <FieldError id="limit-stages-error">{wrong}</FieldError>}
    </EffectPage>
  )
}

const LimitLot = () => {
  const { t } = useStaffWords()
  const may = useMay()
  return (
    <LotDecision
      untitled={t('lots.lot')}
      title={({ lot: { number }, name }) => t('terms.limitTitle', { number, name })}
      why={({ lot: { status, number } }) =>
        status !== 'released' ? t('terms.limitNotPossible', { number }) : may('release', 'lots') ? null : t('page.notYours')
      }
    >
      {(lot, title) => <Limit lot={lot} title={title} />}
    </LotDecision>
  )
}

export default LimitLot

import { useState } from 'react'
import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { LotTerms } from '../resources/lots/LotTerms'
import type { LotDetail } from '../resources/lots/useLot'
import { EffectPage } from '../ui/EffectPage'
import { Field } from '../ui/Field'
import { LotDecision, MadeOfIt, useLotDecision } from './lot-decision'

const Hold = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const { decide, back, elsewhere, errorAt } = useLotDecision(lot, 'hold')
  const [until, setUntil] = useState(lot.holdUntil ?? '')
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('terms.holdEffect', { kg: formatKg(lot.onHandKg) })}</p>
          {Number(lot.reservedKg) > 0 && <p>{t('terms.holdReserved', { kg: formatKg(lot.reservedKg) })}</p>}
          <MadeOfIt lot={lot} goes="alsoHeld" />
        </>
      }
      confirmLabel={t('terms.holdConfirm', { number: lot.number })}
      reasonLabel={t('terms.holdReason')}
      problem={elsewhere}
      onConfirm={({ reason }) => decide({ reason, until: until === '' ? null : until })}
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
  const may = useMay()
  return (
    <LotDecision
      untitled={t('lots.lot')}
      title={({ lot: { number }, name }) => t('terms.holdTitle', { number, name })}
      why={({ lot: { status, number } }) =>
        status !== 'on-hold' && status !== 'released'
          ? t('terms.notPossible', { number })
          : may('release', 'lots')
            ? null
            : t('page.notYours')
      }
    >
      {(lot, title) => <Hold lot={lot} title={title} />}
    </LotDecision>
  )
}

export default HoldLot

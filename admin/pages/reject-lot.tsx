import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import { LotFindings } from '../resources/lots/LotFindings'
import type { LotDetail } from '../resources/lots/useLot'
import { EffectPage } from '../ui/EffectPage'
import { LotDecision, MadeOfIt, useLotDecision } from './lot-decision'

const Reject = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const { decide, back, problem } = useLotDecision(lot, 'reject')
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('reject.effect', { kg: formatKg(lot.onHandKg) })}</p>
          {Number(lot.reservedKg) > 0 && <p>{t('reject.reserved', { kg: formatKg(lot.reservedKg) })}</p>}
          <MadeOfIt lot={lot} goes="alsoHeld" />
        </>
      }
      confirmLabel={t('reject.confirm', { number: lot.number })}
      reasonLabel={t('reject.reason')}
      problem={problem}
      onConfirm={({ reason }) => decide({ reason })}
      onCancel={back}
    >
      <LotFindings findings={lot.findings.filter(({ severity }) => severity !== 'pass')} />
    </EffectPage>
  )
}

const RejectLot = () => {
  const { t } = useStaffWords()
  const may = useMay()
  return (
    <LotDecision
      untitled={t('action.reject')}
      title={({ lot: { number }, name }) => t('reject.title', { number, name })}
      why={({ lot: { status, number } }) =>
        status !== 'on-hold' && status !== 'released'
          ? t('reject.notPossible', { number })
          : may('reject', 'lots')
            ? null
            : t('page.notYours')
      }
    >
      {(lot, title) => <Reject lot={lot} title={title} />}
    </LotDecision>
  )
}

export default RejectLot

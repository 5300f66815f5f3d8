import { formatKg } from '../format/numbers'
import { useStaffWords } from '../i18n/words'
import { useMay } from '../providers/useMay'
import type { LotDetail } from '../resources/lots/useLot'
import { EffectPage } from '../ui/EffectPage'
import { LotDecision, useLotDecision } from './lot-decision'

const Undo = ({ lot, title }: { lot: LotDetail; title: string }) => {
  const { t } = useStaffWords()
  const { decide, back, problem } = useLotDecision(lot, 'undo-making')
  return (
    <EffectPage
      danger
      title={title}
      effect={
        <>
          <p>{t('derived.undoEffect', { kg: formatKg(lot.making?.takenKg ?? '0') })}</p>
          <ul>
            {lot.making?.parents.map(({ lotId, number, kg }) => (
              <li key={lotId}>{t('derived.undoTo', { number, kg: formatKg(kg) })}</li>
            ))}
          </ul>
        </>
      }
      confirmLabel={t('derived.undoConfirm', { number: lot.number })}
      reasonLabel={t('derived.undoReason')}
      problem={problem}
      onConfirm={({ reason }) => decide({ reason })}
      onCancel={back}
    />
  )
}

/** A made lot that was typed wrongly goes back into its parents, with a reason that is kept. */
const UndoMaking = () => {
  const { t } = useStaffWords()
  const may = useMay()
  return (
    <LotDecision
      untitled={t('lots.lot')}
      title={({ lot: { number } }) => t('derived.undoTitle', { number })}
      why={({ lot: { making, number } }) =>
        making?.mayUndo ? null : may('reverse', 'stock-movements') ? t('derived.undoNot', { number }) : t('page.notYours')
      }
    >
      {(lot, title) => <Undo lot={lot} title={title} />}
    </LotDecision>
  )
}

export default UndoMaking

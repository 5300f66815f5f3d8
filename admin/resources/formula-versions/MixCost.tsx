import type { MixView } from '#contract/formulas'
import { formatAccount, formatPrice } from '../../format/money'
import { formatNumber } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency, useMill } from '../../providers/useMill'
import { Loading } from '../../ui/Waiting'
import type { useSolve } from './useSolve'

const KG_IN_A_TONNE = 1000

export const FigureRow = ({ label, value }: { label: string; value: string }) => (
  <p className="k-told-figure">
    <span>{label}</span> <span className="k-tabular k-strong">{value}</span>
  </p>
)

const Costs = ({ costPerTonne }: { costPerTonne: NonNullable<MixView['costPerTonne']> }) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const bagKg = useMill()?.bagKg
  const perKg = Number(costPerTonne) / KG_IN_A_TONNE
  return (
    <>
      <FigureRow label={t('formula.approveCost')} value={formatPrice(costPerTonne, currency)} />
      <FigureRow label={t('formula.approveCostKg')} value={formatAccount(perKg, currency)} />
      {bagKg !== undefined && (
        <FigureRow
          label={t('formula.approveCostBag', { size: formatNumber(bagKg, 0) })}
          value={formatAccount(perKg * Number(bagKg), currency)}
        />
      )}
    </>
  )
}

/** What the ingredients of a mix of now cost a tonne, a kilogram and a bag: told before anybody signs it. */
export const MixCost = ({ mix, problem }: Pick<ReturnType<typeof useSolve>, 'mix' | 'problem'>) => {
  const { t } = useStaffWords()
  if (mix?.costPerTonne) return <Costs costPerTonne={mix.costPerTonne} />
  if (mix === undefined && problem === undefined) return <Loading rows={1} />
  return <FigureRow label={t('formula.approveCost')} value={t('known.unknown')} />
}

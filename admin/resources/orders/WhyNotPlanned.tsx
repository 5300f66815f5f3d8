import type { FindingView } from '#contract/findings'
import type { MixView } from '#contract/formulas'
import { formatKg } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import type { Problem } from '../../providers/http'
import { FailureBar } from '../../ui/Failure'
import { RefusalCard } from '../../ui/RefusalCard'
import { Findings } from '../formula-versions/Findings'
import { conflictTold } from '../formula-versions/limitWords'
import { useIngredients } from '../formula-versions/useIngredients'

type Facts = Readonly<Record<string, unknown>>

/** The facts that a problem document carries beside its code. */
export const factsOf = ({ body }: Problem): Facts => {
  if (typeof body !== 'object' || body === null || !('facts' in body)) return {}
  const { facts } = body
  return typeof facts === 'object' && facts !== null ? (facts as Facts) : {}
}
const listOf = <T,>(value: unknown): readonly T[] => (Array.isArray(value) ? (value as T[]) : [])
const text = (value: unknown): string => (typeof value === 'string' || typeof value === 'number' ? String(value) : '')

/** Why an order could not be planned: the limits that conflict, the lot that is short, the check that forbids it; else the failure. */
export const WhyNotPlanned = ({ problem }: { problem: Problem }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  const facts = factsOf(problem)
  const lot = text(facts['lotNumber'])
  switch (problem.code) {
    case 'order-infeasible': {
      const conflict = [...listOf<MixView['conflict'][number]>(facts['conflict'])]
      const limits = conflictTold(conflict, { t, nameOf })
      const what = limits === '' ? t('plan.loadInfeasible') : t('mixture.noMix', { limits })
      return <RefusalCard verdict="block" what={what} reasons={[]} next={<p>{t('mixture.noMixNext')}</p>} />
    }
    case 'stock-short':
      return (
        <RefusalCard
          verdict="block"
          what={t('problem.stock-short')}
          reasons={[t('plan.stockShort', { lot, needed: formatKg(text(facts['neededKg']), 3), free: formatKg(text(facts['freeKg']), 3) })]}
          next={<p>{t('plan.stockShortNext')}</p>}
        />
      )
    case 'lot-not-released':
    case 'lot-expired':
      return (
        <RefusalCard
          verdict="block"
          what={t(`problem.${problem.code}`)}
          reasons={[t('plan.lotGone', { lot })]}
          next={<p>{t('plan.stockShortNext')}</p>}
        />
      )
    case 'safety-block':
      return <Findings findings={listOf<FindingView>(facts['findings'])} />
    default:
      return <FailureBar problem={problem} />
  }
}

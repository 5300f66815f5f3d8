import type { SamplePlan } from '#core/receiving/sampling'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'

/** How many portions, from how many sacks, and by which rows of the regulation. */
export const SampleToTake = ({ plan, heading }: { plan: SamplePlan; heading?: boolean }) => {
  const { t } = useStaffWords()
  const from =
    plan.bagsToOpen === null
      ? t(plan.liquid ? 'receiving.fromLiquid' : 'receiving.fromHeap')
      : t('receiving.fromBags', { smart_count: plan.bagsToOpen })
  return (
    <Card title={t('receiving.sample')}>
      <p className={heading ? 'k-strong' : undefined}>
        {t('receiving.samplePortions', { smart_count: plan.increments, grams: plan.gramsEach, from })}.
      </p>
      <p>{t('receiving.sampleMix', { kg: plan.aggregateKg, smart_count: plan.finalSamples })}</p>
      {plan.forMould && <p>{t('receiving.sampleMould')}</p>}
      <p className="k-caption">{t('receiving.sampleSource', { rules: plan.rules.join(', ') })}</p>
    </Card>
  )
}

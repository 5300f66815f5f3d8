import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { SupplierView } from '#contract/suppliers'
import { useStaffWords } from '../../i18n/words'
import { useCurrency } from '../../providers/useMill'
import { NumberField, SelectField } from '../../ui/Field'
import { IngredientPicker } from '../lots/IngredientPicker'
import type { GateDraft } from './gateDraft'

type Supplier = z.output<typeof SupplierView>
export type GateProps = {
  readonly draft: GateDraft
  readonly change: (changes: Partial<GateDraft>) => void
  readonly errorAt: (field: keyof GateDraft) => string | undefined
}

/** What everybody knows at the gate: what it is, whose, how much, how wet, at which price. */
export const GateFields = ({ draft, change, errorAt }: GateProps) => {
  const { t } = useStaffWords()
  const currency = useCurrency()
  const { data: suppliers = [] } = useGetList<Supplier>('suppliers', {
    pagination: { page: 1, perPage: 200 },
    sort: { field: 'name', order: 'ASC' },
    filter: {},
  })
  return (
    <>
      <IngredientPicker
        id="gate-ingredientId"
        value={draft.ingredientId}
        onChange={(ingredient) => change({ ingredientId: ingredient?.id ?? '' })}
        error={errorAt('ingredientId')}
      />
      <SelectField
        id="gate-supplierId"
        label={t('receive.supplier')}
        hint={t('gate.supplierHint')}
        value={draft.supplierId}
        choices={suppliers.map(({ id, name }) => ({ value: id, label: name }))}
        onChange={(supplierId) => change({ supplierId })}
        error={errorAt('supplierId')}
      />
      <NumberField
        id="gate-kg"
        label={t('gate.kg')}
        hint={t('gate.kgHint')}
        unit="kg"
        value={draft.kg}
        onChange={(kg) => change({ kg })}
        error={errorAt('kg')}
      />
      <div className="k-gate-two">
        <NumberField
          id="gate-bags"
          label={t('gate.bags')}
          unit={t('receive.bagsUnit')}
          value={draft.bags}
          onChange={(bags) => change({ bags })}
          error={errorAt('bags')}
        />
        <NumberField
          id="gate-bagKg"
          label={t('gate.bagKg')}
          unit="kg"
          value={draft.bagKg}
          onChange={(bagKg) => change({ bagKg })}
          error={errorAt('bagKg')}
        />
      </div>
      <NumberField
        id="gate-pricePerKg"
        label={t('gate.price')}
        unit={currency}
        value={draft.pricePerKg}
        onChange={(pricePerKg) => change({ pricePerKg })}
        error={errorAt('pricePerKg')}
        required
      />
      <NumberField
        id="gate-moisturePct"
        label={t('gate.moisture')}
        hint={t('gate.notMeasured')}
        unit="%"
        value={draft.moisturePct}
        onChange={(moisturePct) => change({ moisturePct })}
        error={errorAt('moisturePct')}
      />
    </>
  )
}

/** Quick tests, each with how it was made, and what else the answer depends on. */
export const GateTests = ({ draft, change, errorAt }: GateProps) => {
  const { t } = useStaffWords()
  return (
    <>
      <NumberField
        id="gate-proteinPct"
        label={t('gate.protein')}
        hint={t('gate.notMeasured')}
        unit="%"
        value={draft.proteinPct}
        onChange={(proteinPct) => change({ proteinPct })}
        error={errorAt('proteinPct')}
      />
      {draft.proteinPct !== '' && (
        <SelectField
          label={t('gate.proteinBy')}
          value={draft.proteinMethod}
          choices={[
            { value: 'near-infrared', label: t('gate.nearInfrared') },
            { value: 'chemical', label: t('gate.chemical') },
          ]}
          onChange={(proteinMethod) => change({ proteinMethod })}
        />
      )}
      <NumberField
        id="gate-sandPct"
        label={t('gate.sand')}
        hint={t('gate.notMeasured')}
        unit="%"
        value={draft.sandPct}
        onChange={(sandPct) => change({ sandPct })}
        error={errorAt('sandPct')}
      />
      {draft.sandPct !== '' && (
        <SelectField
          label={t('gate.sandBy')}
          value={draft.sandMethod}
          choices={[
            { value: 'sand-jar', label: t('gate.sandJar') },
            { value: 'laboratory', label: t('gate.sandLaboratory') },
          ]}
          onChange={(sandMethod) => change({ sandMethod })}
        />
      )}
      <SelectField
        label={t('gate.urea')}
        hint={t('gate.ureaHint')}
        value={draft.urea}
        choices={[
          { value: 'none-found', label: t('gate.ureaNone') },
          { value: 'found', label: t('gate.ureaFound') },
        ]}
        onChange={(urea) => change({ urea })}
      />
      <NumberField
        id="gate-agreedMoisturePct"
        label={t('gate.agreed')}
        hint={t('gate.agreedHint')}
        unit="%"
        value={draft.agreedMoisturePct}
        onChange={(agreedMoisturePct) => change({ agreedMoisturePct })}
        error={errorAt('agreedMoisturePct')}
      />
      <NumberField
        id="gate-days"
        label={t('gate.days')}
        hint={t('gate.daysHint')}
        unit={t('gate.daysUnit')}
        value={draft.days}
        onChange={(days) => change({ days })}
        error={errorAt('days')}
      />
    </>
  )
}

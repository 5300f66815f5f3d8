import { useGetList } from 'react-admin'
import type { z } from 'zod'
import type { SupplierView } from '#contract/suppliers'
import { mustDeclareMedication } from '#core/safety/lot-duties'
import { useStaffWords } from '../../i18n/words'
import { Field, SelectField } from '../../ui/Field'
import { ExpiryFields } from './ExpiryFields'
import { IngredientPicker, type IngredientRow } from './IngredientPicker'
import { LookFields } from './LookFields'
import { MedicineFields } from './MedicineFields'
import { PriceFields } from './PriceFields'
import { WeightFields, type DraftProps } from './WeightFields'

type Supplier = z.output<typeof SupplierView>

export const useSuppliers = () =>
  useGetList<Supplier>('suppliers', { pagination: { page: 1, perPage: 200 }, sort: { field: 'name', order: 'ASC' }, filter: {} })

/** Supplier, with the way to a new one: a page of its own that comes back here. */
const SupplierField = ({ value, onChange, error }: { value: string; onChange: (id: string) => void; error?: string | undefined }) => {
  const { t } = useStaffWords()
  const { data = [] } = useSuppliers()
  return (
    <div className="k-stack">
      <SelectField
        id="receive-supplierId"
        label={t('receive.supplier')}
        value={value}
        choices={data.map(({ id, name }) => ({ value: id, label: name }))}
        onChange={onChange}
        error={error}
        required
      />
      <div className="k-row">
        <a className="k-button" href="#/suppliers/create?for=delivery">
          {t('receive.newSupplier')}
        </a>
        <span className="k-caption">{t('receive.newSupplierHint')}</span>
      </div>
    </div>
  )
}

/** All that is written down of a delivery, in the order in which a truck is unloaded. */
export const ReceiveFields = (props: DraftProps) => {
  const { t } = useStaffWords()
  const { draft, onChange, errorAt } = props
  const pick = (ingredient: IngredientRow | undefined) =>
    onChange({
      ingredientId: ingredient?.id ?? '',
      category: ingredient?.category ?? '',
      shelfLifeDays: ingredient?.shelfLifeDays ?? null,
      expiresOn: '',
      medicine: '',
    })
  return (
    <>
      <IngredientPicker id="receive-ingredientId" value={draft.ingredientId} onChange={pick} error={errorAt('ingredientId')} />
      {mustDeclareMedication(draft) && <MedicineFields {...props} />}
      <SupplierField value={draft.supplierId} onChange={(supplierId) => onChange({ supplierId })} error={errorAt('supplierId')} />
      <WeightFields {...props} />
      <Field
        id="receive-deliveryNote"
        label={t('receive.note')}
        value={draft.deliveryNote}
        onChange={(deliveryNote) => onChange({ deliveryNote })}
        error={errorAt('deliveryNote')}
      />
      <PriceFields {...props} />
      <LookFields {...props} />
      <Field
        id="receive-storagePlace"
        label={t('receive.place')}
        value={draft.storagePlace}
        onChange={(storagePlace) => onChange({ storagePlace })}
        error={errorAt('storagePlace')}
      />
      <ExpiryFields {...props} />
    </>
  )
}

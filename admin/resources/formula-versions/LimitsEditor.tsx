import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Field, NumberField, SelectField } from '../../ui/Field'
import { Groups, Ratios } from './GroupsAndRatios'
import { IngredientLimits } from './IngredientLimits'
import { NutrientLimits, type EditorProps } from './NutrientLimits'
import { PerDayLimits } from './PerDayLimits'
import { useIngredients } from './useIngredients'
import type { Trial } from './versionForm'

type Book = ReturnType<typeof useIngredients>

const Medicine = ({ form, errorAt, onChange, book: { ingredients, nameOf } }: EditorProps & { book: Book }) => {
  const { t } = useStaffWords()
  const { medication } = form
  if (!medication) {
    return (
      <Card title={t('limit.medicine')}>
        <p>{t('medicine.none')}</p>
        <div>
          <Button icon="plus" onPress={() => onChange({ ...form, medication: { active: '', mgPerKg: '', ingredientId: '' } })}>
            {t('limit.addMedicine')}
          </Button>
        </div>
      </Card>
    )
  }
  const change = (part: Partial<typeof medication>) => onChange({ ...form, medication: { ...medication, ...part } })
  return (
    <Card title={t('limit.medicine')}>
      <Field
        id="medication.active"
        label={t('limit.active')}
        value={medication.active}
        onChange={(active) => change({ active })}
        error={errorAt('medication.active')}
      />
      <NumberField
        id="medication.mgPerKg"
        label={t('limit.doseLabel')}
        unit="mg/kg"
        value={medication.mgPerKg}
        onChange={(mgPerKg) => change({ mgPerKg })}
        error={errorAt('medication.mgPerKg')}
      />
      <SelectField
        id="medication.ingredientId"
        label={t('limit.premix')}
        value={medication.ingredientId}
        onChange={(ingredientId) => change({ ingredientId })}
        choices={ingredients
          .filter(({ category }) => /premix|additive|medic/.test(category))
          .map(({ id }) => ({ value: id, label: nameOf(id) }))}
        error={errorAt('medication.ingredientId')}
      />
      <div>
        <Button kind="quiet" onPress={() => onChange({ ...form, medication: null })}>
          {t('limit.remove', { name: t('limit.medicine').toLowerCase() })}
        </Button>
      </div>
    </Card>
  )
}

type LimitsProps = EditorProps & { readonly trial: Trial; readonly onTrial: (trial: Trial) => void }

/** All limits of a draft, one row each, with what the mix of now has beside them. */
export const LimitsEditor = (props: LimitsProps) => {
  const { t, language } = useStaffWords()
  const book = useIngredients(language)
  return (
    <>
      <NutrientLimits {...props} />
      <IngredientLimits {...props} book={book} />
      <Groups {...props} book={book} />
      <Ratios {...props} />
      {props.saved.stage.includes('lay') && <PerDayLimits {...props} />}
      <Medicine {...props} book={book} />
      <Card>
        <Field
          label={t('formula.note')}
          value={props.form.note}
          onChange={(note) => props.onChange({ ...props.form, note })}
          rows={2}
          error={props.errorAt('note')}
        />
      </Card>
    </>
  )
}

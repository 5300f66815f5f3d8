import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Field, NumberField, SelectField } from '../../ui/Field'
import { Fold } from './Fold'
import { Groups, Ratios } from './GroupsAndRatios'
import { IngredientLimits, type Book, type ChangeTrial } from './IngredientLimits'
import { MixOfNow } from './NowInMix'
import { NutrientLimits, type EditorProps } from './NutrientLimits'
import { PerDayLimits } from './PerDayLimits'
import { useIngredients } from './useIngredients'
import { perDayOf, type MedicationRow, type Trial } from './versionForm'

const NO_MEDICINE: MedicationRow = { active: '', mgPerKg: '', ingredientId: '' }

const Medicine = ({ form, errorAt, onChange, book: { ingredients, nameOf } }: EditorProps & { book: Book }) => {
  const { t } = useStaffWords()
  const { medication } = form
  const set = (medicine: MedicationRow | null) => onChange((current) => ({ ...current, medication: medicine }))
  if (!medication) {
    return (
      <>
        <p>{t('medicine.none')}</p>
        <div>
          <Button icon="plus" onPress={() => set(NO_MEDICINE)}>
            {t('limit.addMedicine')}
          </Button>
        </div>
      </>
    )
  }
  const change = (part: Partial<MedicationRow>) => set({ ...medication, ...part })
  return (
    <>
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
        <Button kind="quiet" onPress={() => set(null)}>
          {t('limit.remove', { name: t('limit.medicine').toLowerCase() })}
        </Button>
      </div>
    </>
  )
}

/** What few feeds have, each behind its name; what is there stands open. */
const Further = (props: EditorProps & { book: Book }) => {
  const { t } = useStaffWords()
  const { form, saved } = props
  const { rows } = perDayOf(form)
  const counted = (title: string, count: number): string => (count === 0 ? title : `${title} (${count})`)
  return (
    <Card title={t('limit.further')}>
      <div>
        <Fold title={counted(t('limit.groups'), form.groups.length)} open={form.groups.length > 0}>
          <Groups {...props} />
        </Fold>
        <Fold title={counted(t('limit.ratios'), form.ratios.length)} open={form.ratios.length > 0}>
          <Ratios {...props} />
        </Fold>
        {saved.stage.includes('lay') && (
          <Fold title={counted(t('perDay.title'), rows.length)} open={rows.length > 0}>
            <PerDayLimits {...props} />
          </Fold>
        )}
        <Fold title={t('limit.medicine')} open={form.medication !== null}>
          <Medicine {...props} />
        </Fold>
      </div>
    </Card>
  )
}

type LimitsProps = EditorProps & { readonly trial: Trial; readonly onTrial: ChangeTrial }

/** All limits of a draft, one row each, with what the mix of now has beside them. */
export const LimitsEditor = (props: LimitsProps) => {
  const { t, language } = useStaffWords()
  const book = useIngredients(language)
  return (
    <MixOfNow value={props.mix}>
      <NutrientLimits {...props} />
      <IngredientLimits {...props} book={book} />
      <Further {...props} book={book} />
      <Card>
        <Field
          label={t('formula.note')}
          value={props.form.note}
          onChange={(note) => props.onChange((current) => ({ ...current, note }))}
          rows={2}
          error={props.errorAt('note')}
        />
      </Card>
    </MixOfNow>
  )
}

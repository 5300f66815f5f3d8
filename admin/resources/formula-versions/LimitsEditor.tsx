import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Card } from '../../ui/Card'
import { Field, NumberField, SelectField } from '../../ui/Field'
import { AddFromList } from './AddFromList'
import { LimitInputs } from './LimitInputs'
import { LimitSource } from './LimitSource'
import { isNutrient } from './limitWords'
import { useIngredients } from './useIngredients'
import { addIngredient, addNutrient, changeRow, placeOf, type Section, type Version, type VersionForm } from './versionForm'

type EditorProps = {
  readonly form: VersionForm
  readonly saved: Version
  readonly errorAt: (path: string) => string | undefined
  readonly onChange: (form: VersionForm) => void
}

const shares = (place: number, section: 'ingredients' | 'groups') =>
  [`limits.${section}.${place}.minPct`, `limits.${section}.${place}.maxPct`] as const
const plain = (place: number, section: 'nutrients' | 'ratios') =>
  [`limits.${section}.${place}.min`, `limits.${section}.${place}.max`] as const

const Nutrients = ({ form, saved, errorAt, onChange }: EditorProps) => {
  const { t } = useStaffWords()
  const limited = new Set(form.nutrients.filter(({ removed }) => !removed).map(({ nutrient }) => nutrient))
  const before = new Map(saved.limits.nutrients.map((limit) => [limit.nutrient, limit]))
  const sources = new Map(saved.limitSources.map((source) => [source.nutrient, source]))
  const text = (value: number | undefined): string => (value === undefined ? '' : String(value))
  return (
    <Card title={t('limit.nutrients')}>
      {form.nutrients.length === 0 && <p>{t('limit.empty.nutrients')}</p>}
      <div>
        {form.nutrients.map((row, index) => {
          const kept = before.get(row.nutrient)
          const unsaved = !kept || text(kept.min) !== row.min.trim() || text(kept.max) !== row.max.trim()
          return (
            <LimitInputs
              key={row.nutrient}
              name={t(`nutrient.${row.nutrient}`)}
              unit={NUTRIENTS[row.nutrient].unit}
              source={<LimitSource source={sources.get(row.nutrient)} unsaved={unsaved} />}
              row={row}
              ids={plain(placeOf(form.nutrients, index), 'nutrients')}
              errorAt={errorAt}
              onChange={(change) => onChange(changeRow(form, 'nutrients', index, change))}
            />
          )
        })}
      </div>
      <AddFromList
        label={t('limit.addNutrient')}
        choices={NUTRIENT_IDS.filter((id) => !limited.has(id)).map((id) => ({ id, name: t(`nutrient.${id}`) }))}
        onChoose={(id) => isNutrient(id) && onChange(addNutrient(form, id))}
      />
    </Card>
  )
}

const Ingredients = ({ form, errorAt, onChange }: EditorProps) => {
  const { t, language } = useStaffWords()
  const { ingredients, nameOf } = useIngredients(language)
  const limited = new Set(form.ingredients.filter(({ removed }) => !removed).map(({ ingredientId }) => ingredientId))
  return (
    <Card title={t('limit.ingredients')}>
      {form.ingredients.length === 0 && <p>{t('limit.empty.ingredients')}</p>}
      <div>
        {form.ingredients.map((row, index) => (
          <LimitInputs
            key={row.ingredientId}
            name={nameOf(row.ingredientId)}
            unit="%"
            row={row}
            ids={shares(placeOf(form.ingredients, index), 'ingredients')}
            errorAt={errorAt}
            onChange={(change) => onChange(changeRow(form, 'ingredients', index, change))}
          />
        ))}
      </div>
      <AddFromList
        label={t('limit.addIngredient')}
        choices={ingredients.filter(({ id }) => !limited.has(id)).map(({ id }) => ({ id, name: nameOf(id) }))}
        onChoose={(id) => onChange(addIngredient(form, id))}
      />
    </Card>
  )
}

/** Groups and ratios are shown and moved here; a card stands only where a version has some. */
const Others = ({ form, errorAt, onChange, section }: EditorProps & { section: Extract<Section, 'groups' | 'ratios'> }) => {
  const { t, language } = useStaffWords()
  const { nameOf } = useIngredients(language)
  if (form[section].length === 0) return null
  const change = (index: number) => (sides: Parameters<typeof changeRow>[3]) => onChange(changeRow(form, section, index, sides))
  return (
    <Card title={t(`limit.${section}`)}>
      <div>
        {section === 'groups'
          ? form.groups.map((row, index) => (
              <LimitInputs
                key={row.id}
                name={row.ingredientIds.map(nameOf).join(', ')}
                unit="%"
                row={row}
                ids={shares(placeOf(form.groups, index), 'groups')}
                errorAt={errorAt}
                onChange={change(index)}
              />
            ))
          : form.ratios.map((row, index) => (
              <LimitInputs
                key={row.id}
                name={t('limit.ratio', { numerator: t(`nutrient.${row.numerator}`), denominator: t(`nutrient.${row.denominator}`) })}
                unit=""
                row={row}
                ids={plain(placeOf(form.ratios, index), 'ratios')}
                errorAt={errorAt}
                onChange={change(index)}
              />
            ))}
      </div>
    </Card>
  )
}

const Medicine = ({ form, errorAt, onChange }: EditorProps) => {
  const { t, language } = useStaffWords()
  const { ingredients, nameOf } = useIngredients(language)
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

/** All limits of a draft, one row each. */
export const LimitsEditor = (props: EditorProps) => {
  const { t } = useStaffWords()
  return (
    <>
      <Nutrients {...props} />
      <Ingredients {...props} />
      <Others {...props} section="groups" />
      <Others {...props} section="ratios" />
      <Medicine {...props} />
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

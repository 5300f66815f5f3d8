import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { MixView } from '#contract/formulas'
import { formatNutrient, withUnit } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { Card } from '../../ui/Card'
import { SelectField } from '../../ui/Field'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import { LimitSource } from './LimitSource'
import { isNutrient } from './limitWords'
import { addNutrient, CERTAINTIES, changeCertainty, changeRow, placeOf, type Version, type VersionForm } from './versionForm'

export type EditorProps = {
  readonly form: VersionForm
  readonly saved: Version
  readonly errorAt: (path: string) => string | undefined
  readonly onChange: (form: VersionForm) => void
  /** The mix of now, which stands beside the limits. */
  readonly mix: MixView | undefined
}

/** What the mix has of a nutrient, and whether it stands at the limit. */
const InMix = ({ nutrient, mix }: { nutrient: string; mix: MixView | undefined }) => {
  const { t } = useStaffWords()
  const row = mix?.nutrients.find((one) => one.nutrient === nutrient)
  if (row === undefined || !isNutrient(nutrient)) return null
  const edge = row.state === 'at-min' || row.state === 'at-max'
  return (
    <span className={edge ? 'k-at-edge k-tabular' : 'k-tabular'}>
      {withUnit(formatNutrient(nutrient, row.value), row.unit)}
      {edge && <span className="k-caption"> {t('limit.atEdge')}</span>}
    </span>
  )
}

/** How sure a limit must be; one that was saved with another figure keeps it among the choices. */
const Certainty = ({ name, value, onChange }: { name: string; value: string; onChange: (certainty: string) => void }) => {
  const { t } = useStaffWords()
  const known: readonly string[] = CERTAINTIES
  const choices = known.includes(value) ? known : [...known, value]
  return (
    <SelectField
      label={t('limit.howSure', { name })}
      value={value}
      onChange={onChange}
      choices={choices.map((choice) => ({
        value: choice,
        label: known.includes(choice)
          ? t(`limit.sure.${choice.replace('.', '')}` as 'limit.sure.05')
          : t('limit.sure.other', { times: Number(choice) * 100 }),
      }))}
    />
  )
}

const text = (value: number | undefined): string => (value === undefined ? '' : String(value))

export const NutrientLimits = ({ form, saved, errorAt, onChange, mix }: EditorProps) => {
  const { t } = useStaffWords()
  const limited = new Set(form.nutrients.filter(({ removed }) => !removed).map(({ nutrient }) => nutrient))
  const before = new Map(saved.limits.nutrients.map((limit) => [limit.nutrient, limit]))
  const sources = new Map(saved.limitSources.map((source) => [source.nutrient, source]))
  return (
    <Card title={t('limit.nutrients')}>
      {form.nutrients.length === 0 && <p>{t('limit.empty.nutrients')}</p>}
      <div>
        <LimitHead third={t('limit.sureColumn')} now={t('limit.nowColumn')} />
        {form.nutrients.map((row, index) => {
          const kept = before.get(row.nutrient)
          const unsaved =
            !kept ||
            text(kept.min) !== row.min.trim() ||
            text(kept.max) !== row.max.trim() ||
            String(kept.certainty ?? CERTAINTIES[0]) !== row.certainty
          const name = t(`nutrient.${row.nutrient}`)
          return (
            <LimitInputs
              key={row.nutrient}
              name={name}
              unit={NUTRIENTS[row.nutrient].unit}
              source={<LimitSource source={sources.get(row.nutrient)} unsaved={unsaved} />}
              row={row}
              ids={[`limits.nutrients.${placeOf(form.nutrients, index)}.min`, `limits.nutrients.${placeOf(form.nutrients, index)}.max`]}
              errorAt={errorAt}
              onChange={(change) => onChange(changeRow(form, 'nutrients', index, change))}
              third={
                <Certainty name={name} value={row.certainty} onChange={(certainty) => onChange(changeCertainty(form, index, certainty))} />
              }
              now={<InMix nutrient={row.nutrient} mix={mix} />}
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

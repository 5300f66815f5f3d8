import { memo } from 'react'
import { NUTRIENTS, NUTRIENT_IDS } from '#core/composition/nutrients'
import type { MixView } from '#contract/formulas'
import { useStaffWords } from '../../i18n/words'
import { useWide } from '../../shell/useWide'
import { Card } from '../../ui/Card'
import { SelectField } from '../../ui/Field'
import { AddFromList } from './AddFromList'
import { LimitHead, LimitInputs } from './LimitInputs'
import { commonSource, CommonSource, LimitSource, sameSource, type Source } from './LimitSource'
import { isNutrient } from './limitWords'
import { NutrientNow } from './NowInMix'
import {
  addNutrient,
  CERTAINTIES,
  changeCertainty,
  changeRow,
  placeOf,
  type NutrientRow,
  type Version,
  type VersionForm,
} from './versionForm'

/** Changes the form as it stands when the change is made. */
export type ChangeForm = (change: (form: VersionForm) => VersionForm) => void
export type EditorProps = {
  readonly form: VersionForm
  readonly saved: Version
  readonly errorAt: (path: string) => string | undefined
  readonly onChange: ChangeForm
  /** The mix of now, which stands beside the limits. */
  readonly mix: MixView | undefined
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

type RowProps = {
  readonly row: NutrientRow
  readonly index: number
  /** Under which the mill names it. */
  readonly place: number
  readonly unsaved: boolean
  readonly source: Source | undefined
  /** It is the source said above the rows. */
  readonly common: boolean
  /** There is a mix, of which it says what it has. */
  readonly mixed: boolean
  readonly wide: boolean
  readonly minError: string | undefined
  readonly maxError: string | undefined
  readonly onChange: ChangeForm
}

/** Drawn again only when something of its own changes: a page has some forty rows, and is worked out at every key. */
const Row = memo(function Row({ row, index, place, unsaved, source, common, mixed, wide, minError, maxError, onChange }: RowProps) {
  const { t } = useStaffWords()
  const name = t(`nutrient.${row.nutrient}`)
  return (
    <LimitInputs
      name={name}
      unit={NUTRIENTS[row.nutrient].unit}
      note={unsaved || !common ? <LimitSource source={source} unsaved={unsaved} /> : undefined}
      row={row}
      ids={[`limits.nutrients.${place}.min`, `limits.nutrients.${place}.max`]}
      errors={[minError, maxError]}
      wide={wide}
      onChange={(change) => onChange((form) => changeRow(form, 'nutrients', index, change))}
      third={
        <Certainty
          name={name}
          value={row.certainty}
          onChange={(certainty) => onChange((form) => changeCertainty(form, index, certainty))}
        />
      }
      now={mixed ? <NutrientNow nutrient={row.nutrient} /> : undefined}
    />
  )
})

const text = (value: number | undefined): string => (value === undefined ? '' : String(value))
type SavedLimit = Version['limits']['nutrients'][number]
const differs = (row: NutrientRow, kept: SavedLimit | undefined): boolean =>
  !kept ||
  text(kept.min) !== row.min.trim() ||
  text(kept.max) !== row.max.trim() ||
  String(kept.certainty ?? CERTAINTIES[0]) !== row.certainty

export const NutrientLimits = ({ form, saved, errorAt, onChange, mix }: EditorProps) => {
  const { t } = useStaffWords()
  const wide = useWide()
  const limited = new Set(form.nutrients.filter(({ removed }) => !removed).map(({ nutrient }) => nutrient))
  const before = new Map(saved.limits.nutrients.map((limit) => [limit.nutrient, limit]))
  const sources = new Map(saved.limitSources.map((source) => [source.nutrient, source]))
  const mixed = (mix?.nutrients.length ?? 0) > 0
  const common = commonSource(saved.limitSources)
  return (
    <Card title={t('limit.nutrients')}>
      {form.nutrients.length === 0 && <p>{t('limit.empty.nutrients')}</p>}
      {common && <CommonSource source={common} />}
      <div>
        <LimitHead third={t('limit.sureColumn')} now={t('limit.nowColumn')} />
        {form.nutrients.map((row, index) => {
          const place = placeOf(form.nutrients, index)
          const source = sources.get(row.nutrient)
          return (
            <Row
              key={row.nutrient}
              row={row}
              index={index}
              place={place}
              unsaved={differs(row, before.get(row.nutrient))}
              source={source}
              common={sameSource(source, common)}
              mixed={mixed}
              minError={errorAt(`limits.nutrients.${place}.min`)}
              maxError={errorAt(`limits.nutrients.${place}.max`)}
              wide={wide}
              onChange={onChange}
            />
          )
        })}
      </div>
      <AddFromList
        label={t('limit.addNutrient')}
        choices={NUTRIENT_IDS.filter((id) => !limited.has(id)).map((id) => ({ id, name: t(`nutrient.${id}`) }))}
        onChoose={(id) => isNutrient(id) && onChange((current) => addNutrient(current, id))}
      />
    </Card>
  )
}

import { useGetList } from 'react-admin'
import { STAGES } from '#core/requirement/stages'
import { useStaffWords, type StaffKey } from '../../i18n/words'
import { Tick } from '../../ui/Choice'

type Formula = { readonly id: string; readonly stage: string }
type PickerProps = {
  readonly value: readonly string[]
  readonly onChange: (stages: readonly string[]) => void
  readonly among?: readonly string[]
}

/** The stages that the mill makes feed for; all of them where it has no formula yet. */
export const StagePicker = ({ value, onChange, among = [] }: PickerProps) => {
  const { t } = useStaffWords()
  const { data } = useGetList<Formula>('formulas', { pagination: { page: 1, perPage: 100 }, sort: { field: 'nameEn', order: 'ASC' } })
  const made = new Set(data?.map(({ stage }) => stage))
  const allowed = (id: string): boolean => (among.length > 0 ? among.includes(id) : made.size === 0 || made.has(id))
  const stages = STAGES.filter(({ id }) => allowed(id) || value.includes(id))
  return (
    <fieldset className="k-field">
      <legend>{t('terms.which')}</legend>
      {stages.map(({ id }) => (
        <Tick
          key={id}
          label={t(`stage.${id}` as StaffKey)}
          checked={value.includes(id)}
          onChange={(on) => onChange(on ? [...value, id] : value.filter((other) => other !== id))}
        />
      ))}
    </fieldset>
  )
}

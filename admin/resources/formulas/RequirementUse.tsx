import type { ReactNode } from 'react'
import type { NutrientId } from '#core/composition/nutrients'
import type { RequirementUseBody } from '#contract/formulas'
import { readTyped } from '../../format/typed'
import { formatPercent } from '../../format/numbers'
import { useStaffWords } from '../../i18n/words'
import { NumberField, SelectField } from '../../ui/Field'
import type { targetsOf } from './requirementSets'

/** What is chosen, as it is typed: the certainty in per cent, one of the offered ones or `other` with a figure of one's own. */
export type UseChosen = { readonly kind: 'minimum' | 'target'; readonly sure: string; readonly ownSure: string }
export const ON_AVERAGE: UseChosen = { kind: 'minimum', sure: '50', ownSure: '' }
const OFFERED = ['50', '75', '80', '90', '95'] as const
const OTHER = 'other'
const LEAST_PCT = 50
const MOST_PCT = 99

/** What is sent; null where the figure typed is none that a limit can be held with. */
export const useToSend = ({ kind, sure, ownSure }: UseChosen): RequirementUseBody | null => {
  if (kind === 'target') return { kind }
  const typed = readTyped(sure === OTHER ? ownSure : sure)
  const pct = typed.kind === 'number' ? Number(typed.text) : Number.NaN
  return pct >= LEAST_PCT && pct <= MOST_PCT ? { kind, certainty: Number((pct / 100).toPrecision(12)) } : null
}

type ChoiceProps = { readonly label: string; readonly hint: string; readonly chosen: boolean; readonly onChoose: () => void }
const Choice = ({ label, hint, chosen, onChoose }: ChoiceProps) => (
  <label className="k-choice" data-chosen={chosen || undefined}>
    <input type="radio" name="requirementUse" checked={chosen} onChange={onChoose} />
    <span>
      <span className="k-strong">{label}</span>
      <span className="k-caption">{hint}</span>
    </span>
  </label>
)

type Targets = ReturnType<typeof targetsOf>
const TargetsTold = ({ beside, alone }: Targets): ReactNode => {
  const { t } = useStaffWords()
  const names = (ids: readonly NutrientId[]): string => ids.map((id) => t(`nutrient.${id}`)).join(', ')
  if (beside.length + alone.length === 0) return <p className="k-caption">{t('formula.useNoTargets')}</p>
  return (
    <p className="k-caption">
      {[
        beside.length > 0 ? t('formula.useTargets', { names: names(beside) }) : '',
        alone.length > 0 ? t('formula.useTargetAlone', { names: names(alone) }) : '',
        t('formula.useOthers'),
      ]
        .filter(Boolean)
        .join(' ')}
    </p>
  )
}

type Props = {
  readonly value: UseChosen
  readonly onChange: (value: UseChosen) => void
  /** Of the set that is chosen. */
  readonly targets: Targets
  readonly error?: string | undefined
}

/** Whether a draft takes the minima of its set, and how surely they hold, or the targets: never both margins at once. */
export const RequirementUse = ({ value, onChange, targets, error }: Props) => {
  const { t } = useStaffWords()
  const sureChoices = [
    ...OFFERED.map((pct) => ({ value: pct, label: formatPercent(Number(pct), 0) })),
    { value: OTHER, label: t('formula.useOther') },
  ]
  return (
    <fieldset className="k-field" id="requirementUse" tabIndex={-1}>
      <legend>{t('formula.use')}</legend>
      <div className="k-stack">
        <Choice
          label={t('formula.useMinimum')}
          hint={t('formula.useMinimumMeans')}
          chosen={value.kind === 'minimum'}
          onChoose={() => onChange({ ...value, kind: 'minimum' })}
        />
        {value.kind === 'minimum' && (
          <SelectField
            id="requirementUse.sure"
            label={t('formula.useSure')}
            hint={t('formula.useSureMeans')}
            value={value.sure}
            onChange={(sure) => onChange({ ...value, sure })}
            choices={sureChoices}
            error={value.sure === OTHER ? undefined : error}
            required
          />
        )}
        {value.kind === 'minimum' && value.sure === OTHER && (
          <NumberField
            id="requirementUse.certainty"
            label={t('formula.useOwn')}
            unit="%"
            value={value.ownSure}
            onChange={(ownSure) => onChange({ ...value, ownSure })}
            error={error}
            required
          />
        )}
        <Choice
          label={t('formula.useTarget')}
          hint={t('formula.useTargetMeans')}
          chosen={value.kind === 'target'}
          onChoose={() => onChange({ ...value, kind: 'target' })}
        />
        <TargetsTold {...targets} />
      </div>
    </fieldset>
  )
}

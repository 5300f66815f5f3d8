import { useState } from 'react'
import { formatDate, formatPickDay } from '../format/dates'
import { formatNumber } from '../format/numbers'
import { useSharedWords } from '../i18n/words'
import { Button } from './Button'
import { Field } from './Field'
import { Icon } from './Shape'

type StepperProps = {
  readonly label: string
  readonly bags: number
  readonly bagKg: number
  readonly onChange: (bags: number) => void
  readonly min?: number
  readonly max?: number
}

/** Bags by - and +, with the kilograms read back under the field. */
export const Stepper = ({ label, bags, bagKg, onChange, min = 0, max = 999 }: StepperProps) => {
  const { t } = useSharedWords()
  const kilos = formatNumber(bags * bagKg, 0)
  return (
    <div className="k-field" role="group" aria-label={label}>
      <span className="k-label">{label}</span>
      <div className="k-stepper">
        <button
          type="button"
          className="k-step"
          aria-label={t('ui.bagsFewer')}
          aria-disabled={bags <= min}
          onClick={() => bags > min && onChange(bags - 1)}
        >
          <Icon name="minus" />
        </button>
        <output className="k-step-count" aria-live="polite">
          {t('unit.bags', { smart_count: bags })}
        </output>
        <button
          type="button"
          className="k-step"
          aria-label={t('ui.bagsMore')}
          aria-disabled={bags >= max}
          onClick={() => bags < max && onChange(bags + 1)}
        >
          <Icon name="plus" />
        </button>
      </div>
      <p className="k-readback-line">{t('unit.kilosAreBags', { kilos, smart_count: bags, size: bagKg })}</p>
    </div>
  )
}

type DayPickerProps = {
  readonly label: string
  readonly days: readonly string[]
  readonly value: string
  readonly onChange: (day: string) => void
  readonly error?: string | undefined
}

/** A short row of real days ("Fri 7", "Sat 8"), a calendar behind it. */
export const DayPicker = ({ label, days, value, onChange, error }: DayPickerProps) => {
  const { t, language } = useSharedWords()
  const [calendar, setCalendar] = useState(value !== '' && !days.includes(value))
  return (
    <fieldset className="k-field k-days">
      <legend>{label}</legend>
      <div className="k-row">
        {days.map((day) => (
          <Button key={day} pressed={day === value} kind={day === value ? 'main' : 'plain'} onPress={() => onChange(day)}>
            {formatPickDay(day, language)}
          </Button>
        ))}
        <Button onPress={() => setCalendar(!calendar)} kind="quiet">
          {t('action.otherDay')}
        </Button>
      </div>
      {calendar && <Field label={t('ui.chooseDay')} type="date" value={value} onChange={onChange} error={error} />}
      {value && <p className="k-readback-line">{formatDate(value, language)}</p>}
    </fieldset>
  )
}

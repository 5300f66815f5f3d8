import { useId, useState, type HTMLInputTypeAttribute, type ReactNode } from 'react'
import { formatNumber } from '../format/numbers'
import { readPhone } from '../format/phones'
import { readTyped } from '../format/typed'
import { useSharedWords } from '../i18n/words'
import { Button } from './Button'
import { FieldError } from './Failure'

type FrameProps = {
  readonly id: string
  readonly label: string
  readonly hint?: string | undefined
  readonly error?: string | undefined
  readonly children: ReactNode
  readonly below?: ReactNode
}

const Frame = ({ id, label, hint, error, children, below }: FrameProps) => (
  <div className="k-field">
    <label htmlFor={id}>{label}</label>
    {hint && (
      <p className="k-caption" id={`${id}-hint`}>
        {hint}
      </p>
    )}
    {children}
    {below}
    {error && <FieldError id={`${id}-error`}>{error}</FieldError>}
  </div>
)

const describedBy = (id: string, hint?: string, error?: string): string | undefined =>
  [hint && `${id}-hint`, error && `${id}-error`].filter(Boolean).join(' ') || undefined

type CommonProps = {
  readonly label: string
  readonly value: string
  readonly hint?: string
  readonly error?: string | undefined
  readonly id?: string
  readonly required?: boolean
}

type FieldProps = CommonProps & {
  readonly onChange: (text: string) => void
  readonly type?: HTMLInputTypeAttribute
  readonly inputMode?: 'text' | 'numeric' | 'decimal' | 'tel' | 'email'
  readonly autoComplete?: string
  readonly rows?: number
}

/** One field: label above, hint, the error beside it, what was typed kept. */
export const Field = ({ label, value, onChange, hint, error, id, required, type = 'text', inputMode, autoComplete, rows }: FieldProps) => {
  const own = useId()
  const name = id ?? own
  const shared = {
    id: name,
    value,
    required,
    className: 'k-input',
    'aria-invalid': error ? true : undefined,
    'aria-describedby': describedBy(name, hint, error),
  }
  return (
    <Frame id={name} label={label} hint={hint} error={error}>
      {rows ? (
        <textarea {...shared} rows={rows} onChange={(event) => onChange(event.target.value)} />
      ) : (
        <input
          {...shared}
          type={type}
          inputMode={inputMode}
          autoComplete={autoComplete}
          onChange={(event) => onChange(event.target.value)}
        />
      )}
    </Frame>
  )
}

type SelectProps = CommonProps & {
  readonly onChange: (value: string) => void
  readonly choices: readonly { readonly value: string; readonly label: string }[]
}

export const SelectField = ({ label, value, onChange, choices, hint, error, id, required }: SelectProps) => {
  const { t } = useSharedWords()
  const own = useId()
  const name = id ?? own
  return (
    <Frame id={name} label={label} hint={hint} error={error}>
      <select
        id={name}
        className="k-input"
        value={value}
        required={required}
        aria-invalid={error ? true : undefined}
        aria-describedby={describedBy(name, hint, error)}
        onChange={(event) => onChange(event.target.value)}
      >
        <option value="">{t('field.chooseOne')}</option>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.label}
          </option>
        ))}
      </select>
    </Frame>
  )
}

type NumberFieldProps = CommonProps & {
  /** What is typed, as typed; keep it in the form so that nothing is lost. */
  readonly onChange: (typed: string) => void
  readonly unit: string
  readonly places?: number
  /** What is expected, in grey; never sent. */
  readonly placeholder?: string
}

/** A figure with its unit inside the field. "1,5" asks which number is meant; a thousands comma is read back. */
export const NumberField = ({ label, value, onChange, unit, hint, error, id, required, places = 3, placeholder }: NumberFieldProps) => {
  const { t } = useSharedWords()
  const own = useId()
  const name = id ?? own
  const [left, setLeft] = useState(false)
  const reading = readTyped(value)
  const wrong = left && reading.kind === 'not-a-number' ? t('field.notANumber') : undefined
  const shown = error ?? wrong
  return (
    <Frame
      id={name}
      label={label}
      hint={hint}
      error={shown}
      below={
        <>
          {reading.kind === 'ask' && (
            <p className="k-row" role="status">
              {t('ui.choiceOf', { typed: value, first: reading.choices[0], second: reading.choices[1] })}
              {reading.choices.map((choice) => (
                <Button key={choice} onPress={() => onChange(choice)}>
                  {choice}
                </Button>
              ))}
            </p>
          )}
          {reading.kind === 'number' && value.includes(',') && (
            <p className="k-caption" role="status">
              {t('ui.readBack', { figure: formatNumber(reading.text, Math.min(places, reading.text.split('.')[1]?.length ?? 0)), unit })}
            </p>
          )}
        </>
      }
    >
      <div className="k-input-with-unit">
        <input
          id={name}
          className="k-input k-tabular"
          inputMode="decimal"
          autoComplete="off"
          placeholder={placeholder}
          value={value}
          required={required}
          aria-invalid={shown ? true : undefined}
          aria-describedby={describedBy(name, hint, shown)}
          onBlur={() => setLeft(true)}
          onChange={(event) => onChange(event.target.value)}
        />
        <span className="k-input-unit">{unit}</span>
      </div>
    </Frame>
  )
}

/** One field for a phone number, however people write it; says how many digits are missing once it is left. */
export const PhoneField = ({ label, value, onChange, hint, error, id, required }: CommonProps & { onChange: (typed: string) => void }) => {
  const { t } = useSharedWords()
  const own = useId()
  const name = id ?? own
  const [left, setLeft] = useState(false)
  const reading = readPhone(value)
  const complaint =
    reading.kind === 'short'
      ? t('field.phoneShort', { smart_count: reading.missing })
      : reading.kind === 'long'
        ? t('field.phoneLong', { smart_count: reading.excess })
        : reading.kind === 'wrong'
          ? t('field.phoneWrong')
          : undefined
  const shown = error ?? (left ? complaint : undefined)
  return (
    <Frame id={name} label={label} hint={hint} error={shown}>
      <input
        id={name}
        className="k-input k-tabular"
        type="tel"
        autoComplete="tel"
        value={value}
        required={required}
        aria-invalid={shown ? true : undefined}
        aria-describedby={describedBy(name, hint, shown)}
        onBlur={() => setLeft(true)}
        onChange={(event) => onChange(event.target.value)}
      />
    </Frame>
  )
}

import { useId } from 'react'
import { FieldError } from './Failure'

type TickProps = {
  readonly label: string
  readonly checked: boolean
  readonly onChange: (checked: boolean) => void
  readonly hint?: string | undefined
  readonly error?: string | undefined
}

/** One statement that is true or not; the whole line can be pressed. */
export const Tick = ({ label, checked, onChange, hint, error }: TickProps) => {
  const id = useId()
  return (
    <div className="k-field">
      <label className="k-choice">
        <input
          type="checkbox"
          checked={checked}
          aria-invalid={error ? true : undefined}
          aria-describedby={error ? `${id}-error` : undefined}
          onChange={(event) => onChange(event.target.checked)}
        />
        <span>{label}</span>
      </label>
      {hint && <p className="k-caption">{hint}</p>}
      {error && <FieldError id={`${id}-error`}>{error}</FieldError>}
    </div>
  )
}

type ChoiceProps = {
  readonly label: string
  /** The empty text: not answered yet. */
  readonly value: string
  readonly choices: readonly { readonly value: string; readonly label: string }[]
  readonly onChange: (value: string) => void
  readonly hint?: string | undefined
  readonly error?: string | undefined
  /** Of the first choice, so that a list of errors can lead here. */
  readonly id?: string
}

/** One of a few answers, all in sight; none is chosen beforehand. */
export const Choice = ({ label, value, choices, onChange, hint, error, id }: ChoiceProps) => {
  const own = useId()
  const name = id ?? own
  return (
    <fieldset className="k-field" aria-describedby={error ? `${name}-error` : undefined}>
      <legend>{label}</legend>
      {hint && <p className="k-caption">{hint}</p>}
      {choices.map((choice, index) => (
        <label key={choice.value} className="k-choice">
          <input
            id={index === 0 ? name : undefined}
            type="radio"
            name={own}
            checked={choice.value === value}
            onChange={() => onChange(choice.value)}
          />
          <span>{choice.label}</span>
        </label>
      ))}
      {error && <FieldError id={`${name}-error`}>{error}</FieldError>}
    </fieldset>
  )
}

import { useState, type ReactNode } from 'react'
import { formatNumber } from '../../format/numbers'
import { readTyped } from '../../format/typed'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { NumberField } from '../../ui/Field'
import type { LimitWords } from './limitWords'

type Sides = { readonly min: string; readonly max: string; readonly removed: boolean }
type LimitInputsProps = {
  readonly name: string
  readonly unit: string
  /** What is to be said of this row alone: a source of its own, that it is changed. */
  readonly note?: ReactNode
  readonly row: Sides
  /** Ids of the two fields, which are the paths that the mill names. */
  readonly ids: readonly [string, string]
  readonly errors: readonly [string | undefined, string | undefined]
  readonly onChange: (change: Partial<Sides>) => void
  /** A third field: how sure; or whether it is left out for now. */
  readonly third?: ReactNode
  /** On a desk a row of a table; on a phone one line that opens. */
  readonly wide: boolean
  /** What the mix of now has of it. */
  readonly now?: ReactNode
}

const shown = (typed: string): string => {
  const reading = readTyped(typed)
  return reading.kind === 'number' ? formatNumber(reading.text, reading.text.split('.')[1]?.length ?? 0) : typed
}

/** Both sides as short as they can be told: "16 – 18.5", "at least 16", "at most 6.5"; the fonts have no signs for these words. */
export const sidesShort = (min: string, max: string, { t }: Pick<LimitWords, 't'>): string => {
  if (min !== '' && max !== '') return min === max ? shown(min) : `${shown(min)}\u00a0\u2013\u00a0${shown(max)}`
  if (min !== '') return `${t('limit.atLeast')}\u00a0${shown(min)}`
  return max === '' ? '' : `${t('limit.atMost')}\u00a0${shown(max)}`
}

const Side = ({
  side,
  place,
  ...field
}: { side: 'min' | 'max'; place: 0 | 1 } & Pick<LimitInputsProps, 'unit' | 'row' | 'ids' | 'errors' | 'onChange'>) => {
  const { t } = useStaffWords()
  return (
    <div className={`k-limit-${side}`}>
      <NumberField
        id={field.ids[place]}
        label={t(side === 'min' ? 'limit.atLeast' : 'limit.atMost')}
        unit={field.unit}
        value={field.row[side]}
        onChange={(typed) => field.onChange({ [side]: typed })}
        error={field.errors[place]}
      />
    </div>
  )
}

const Fields = (props: LimitInputsProps) => {
  const { t } = useStaffWords()
  return (
    <>
      <Side side="min" place={0} {...props} />
      <Side side="max" place={1} {...props} />
      <div className="k-limit-third">{props.third}</div>
      <Button kind="quiet" label={t('limit.remove', { name: props.name })} onPress={() => props.onChange({ removed: true })}>
        {t('limit.out')}
      </Button>
    </>
  )
}

/** On a phone a limit is one line that opens to be changed; it stays open while something in it is wrong. */
const FoldedRow = (props: LimitInputsProps) => {
  const { name, unit, row, note, errors, now } = props
  const words = useStaffWords()
  const [open, setOpen] = useState(row.min === '' && row.max === '')
  const wrong = errors.some((error) => error !== undefined)
  return (
    <details className="k-limit-fold" aria-label={name} open={open || wrong} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span className="k-limit-fold-name">{name}</span>
        <span className="k-limit-sides k-tabular">
          {now ? sidesShort(row.min, row.max, words) : `${sidesShort(row.min, row.max, words)} ${unit}`}
        </span>
        <span className="k-limit-now">{now}</span>
      </summary>
      <div className="k-limit-row" data-long-unit={unit.length > 2 || undefined}>
        {note && <div className="k-limit-from">{note}</div>}
        <Fields {...props} />
      </div>
    </details>
  )
}

/** One limit: its name, at least, at most, what the mix has, and the way to take it out and back. */
export const LimitInputs = (props: LimitInputsProps) => {
  const { name, unit, note, row, onChange, wide, now } = props
  const { t } = useStaffWords()
  if (row.removed) {
    return (
      <div className="k-limit-removed" role="status">
        <span>{t('limit.removed', { name })}</span>
        <Button onPress={() => onChange({ removed: false })}>{t('action.undo')}</Button>
      </div>
    )
  }
  if (!wide) return <FoldedRow {...props} />
  const long = unit.length > 2
  return (
    <div className="k-limit-row" role="group" aria-label={name} data-long-unit={long || undefined}>
      <div className="k-limit-name">
        <span className="k-strong">{name}</span>
        {long && <span className="k-limit-unit k-caption">{unit}</span>}
      </div>
      <Fields {...props} />
      <div className="k-limit-now">{now}</div>
      {note && <div className="k-limit-from">{note}</div>}
    </div>
  )
}

/** What stands in the columns of the rows below, for eyes alone: every field has its own label. */
export const LimitHead = ({ third, now }: { third?: string | undefined; now?: string | undefined }) => {
  const { t } = useStaffWords()
  return (
    <div className="k-limit-head" aria-hidden>
      <span />
      <span>{t('limit.atLeast')}</span>
      <span>{t('limit.atMost')}</span>
      <span>{third}</span>
      <span>{now}</span>
      <span />
    </div>
  )
}

import type { ReactNode } from 'react'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { NumberField } from '../../ui/Field'

type Sides = { readonly min: string; readonly max: string; readonly removed: boolean }
type LimitInputsProps = {
  readonly name: string
  readonly unit: string
  readonly source?: ReactNode
  readonly row: Sides
  /** Ids of the two fields, which are the paths that the mill names. */
  readonly ids: readonly [string, string]
  readonly errorAt: (id: string) => string | undefined
  readonly onChange: (change: Partial<Sides>) => void
  /** A third field: how sure, or a price to try. */
  readonly third?: ReactNode
  /** What the mix of now has of it. */
  readonly now?: ReactNode
}

/** One limit: its name and source, at least, at most, what the mix has, and the way to take it out and back. */
export const LimitInputs = ({ name, unit, source, row, ids, errorAt, onChange, third, now }: LimitInputsProps) => {
  const { t } = useStaffWords()
  const long = unit.length > 2
  if (row.removed) {
    return (
      <div className="k-limit-removed" role="status">
        <span>{t('limit.removed', { name })}</span>
        <Button onPress={() => onChange({ removed: false })}>{t('action.undo')}</Button>
      </div>
    )
  }
  return (
    <div className="k-limit-row" role="group" aria-label={name} data-long-unit={long || undefined}>
      <div className="k-limit-name">
        <span className="k-strong">{name}</span>
        {long && <span className="k-limit-unit k-caption">{unit}</span>}
      </div>
      {source && <div className="k-limit-from">{source}</div>}
      <div className="k-limit-min">
        <NumberField
          id={ids[0]}
          label={t('limit.atLeast')}
          unit={unit}
          value={row.min}
          onChange={(min) => onChange({ min })}
          error={errorAt(ids[0])}
        />
      </div>
      <div className="k-limit-max">
        <NumberField
          id={ids[1]}
          label={t('limit.atMost')}
          unit={unit}
          value={row.max}
          onChange={(max) => onChange({ max })}
          error={errorAt(ids[1])}
        />
      </div>
      <div className="k-limit-third">{third}</div>
      <div className="k-limit-now">{now}</div>
      <Button kind="quiet" label={t('limit.remove', { name })} onPress={() => onChange({ removed: true })}>
        {t('limit.out')}
      </Button>
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

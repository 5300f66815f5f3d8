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
}

/** One limit: its name and source, at least, at most, and the way to take it out and back. */
export const LimitInputs = ({ name, unit, source, row, ids, errorAt, onChange }: LimitInputsProps) => {
  const { t } = useStaffWords()
  if (row.removed) {
    return (
      <div className="k-limit-removed" role="status">
        <span>{t('limit.removed', { name })}</span>
        <Button onPress={() => onChange({ removed: false })}>{t('action.undo')}</Button>
      </div>
    )
  }
  return (
    <div className="k-limit-row" role="group" aria-label={name} data-long-unit={unit.length > 2 || undefined}>
      <div className="k-limit-name">
        <span className="k-strong">{name}</span>
        {source}
      </div>
      <NumberField
        id={ids[0]}
        label={t('limit.atLeast')}
        unit={unit}
        value={row.min}
        onChange={(min) => onChange({ min })}
        error={errorAt(ids[0])}
      />
      <NumberField
        id={ids[1]}
        label={t('limit.atMost')}
        unit={unit}
        value={row.max}
        onChange={(max) => onChange({ max })}
        error={errorAt(ids[1])}
      />
      <Button kind="quiet" label={t('limit.remove', { name })} onPress={() => onChange({ removed: true })}>
        {t('limit.out')}
      </Button>
    </div>
  )
}

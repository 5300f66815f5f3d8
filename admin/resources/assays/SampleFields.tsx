import { QUICK_TESTS } from '#core/laboratory/quick-tests'
import { useStaffWords } from '../../i18n/words'
import { Button } from '../../ui/Button'
import { Choice, Tick } from '../../ui/Choice'
import { Field, NumberField } from '../../ui/Field'
import { analyteName, unitOf } from '../lots/lotWords'
import { quickTestOf, readBy, saysYesOrNo, type SampleRow } from './recordModel'

const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

type SampleProps = {
  readonly row: SampleRow
  readonly errors: { readonly value?: string | undefined; readonly method?: string | undefined; readonly other?: string | undefined }
  /** The mill asked to look again at this figure. */
  readonly unusual: boolean
  readonly onChange: (changes: Partial<SampleRow>) => void
  readonly onRemove?: (() => void) | undefined
}

/** A strip shows it or not: two words, no figure to mistype. */
const Strip = ({ row, errors, onChange }: SampleProps) => {
  const { t } = useStaffWords()
  const test = row.quickTest === null ? undefined : QUICK_TESTS[row.quickTest]
  return (
    <div className="k-stack">
      <Choice
        id={`sample-${row.analyte}`}
        label={upper(t(`bench.quick.${row.quickTest ?? 'urea-test'}`))}
        value={row.value}
        choices={[
          { value: 'none-found', label: t('bench.none') },
          { value: 'found', label: t('bench.found') },
        ]}
        onChange={(value) => onChange({ value })}
        error={errors.value}
      />
      {test?.limitOfKit && (
        <NumberField
          label={t('bench.kitLimit')}
          hint={t('bench.kitLimitHint')}
          unit={unitOf(row.analyte)}
          value={row.kitLimit}
          onChange={(kitLimit) => onChange({ kitLimit })}
        />
      )}
    </div>
  )
}

/** Where a quick test of the same thing is on the bench: by it, or by the method that is written. */
const ByWhat = ({ row, onChange }: SampleProps) => {
  const { t } = useStaffWords()
  const quick = quickTestOf(row.analyte)
  if (quick === undefined) return null
  return (
    <Tick
      label={t(`bench.quick.${quick}`)}
      hint={row.quickTest === null ? undefined : t(`bench.errs.${quick}`)}
      checked={row.quickTest !== null}
      onChange={(on) => onChange(readBy(row, on ? quick : null))}
    />
  )
}

const ValueField = ({ row, errors, onChange }: SampleProps) => {
  const { t } = useStaffWords()
  return (
    <div className="k-stack">
      <NumberField
        id={`sample-${row.analyte}`}
        label={upper(analyteName(row.analyte, t))}
        unit={unitOf(row.analyte)}
        value={row.value}
        onChange={(value) => onChange({ value, confirmed: false })}
        error={errors.value ?? errors.other}
      />
      {row.quickTest === null && (
        <Tick
          label={t('lab.below')}
          checked={row.below}
          hint={row.below ? t('lab.belowHint') : undefined}
          onChange={(below) => onChange({ below })}
        />
      )}
    </div>
  )
}

/** One analysis of the sample: figure with its unit, whether it was below what can be seen, method, and a second look where asked. */
export const SampleFields = (props: SampleProps) => {
  const { t } = useStaffWords()
  const { row, errors, unusual, onChange, onRemove } = props
  const item = analyteName(row.analyte, t)
  return (
    <div className="k-sample" role="group" aria-label={item}>
      <div className="k-stack k-sample-fields">
        {saysYesOrNo(row.quickTest) ? <Strip {...props} /> : <ValueField {...props} />}
        <div className="k-stack">
          <ByWhat {...props} />
          {row.quickTest === null && (
            <Field label={t('lab.method', { item })} value={row.method} onChange={(method) => onChange({ method })} error={errors.method} />
          )}
        </div>
      </div>
      {unusual && <Tick label={t('lab.confirm')} checked={row.confirmed} onChange={(confirmed) => onChange({ confirmed })} />}
      {row.supersedesId !== null && (
        <Field label={t('lab.note', { item })} value={row.note} onChange={(note) => onChange({ note })} rows={2} />
      )}
      {onRemove && (
        <div>
          <Button kind="quiet" onPress={onRemove}>
            {t('lab.remove', { item })}
          </Button>
        </div>
      )}
    </div>
  )
}

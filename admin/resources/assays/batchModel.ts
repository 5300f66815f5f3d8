import type { RecordSamplesBody } from '#contract/laboratory'
import type { z } from 'zod'
import { QUICK_TESTS, type QuickTestId } from '#core/laboratory/quick-tests'
import { readTyped } from '../../format/typed'
import type { StaffKey } from '../../i18n/words'
import { unitOf } from '../lots/lotWords'
import { answerOf, saysYesOrNo, type AnalyteName } from './recordModel'

/** One sample of a row as it is typed; an empty value: not measured this time. */
export type BatchRow = { readonly lotId: string; readonly value: string; readonly confirmed: boolean }
/** One method over many samples. */
export type Bench = {
  readonly quickTest: QuickTestId | null
  readonly analyte: AnalyteName
  readonly method: string
  readonly kitLimit: string
  readonly laboratory: string
  readonly measuredOn: string
  readonly rows: readonly BatchRow[]
}
type Body = z.input<typeof RecordSamplesBody>
type Reading =
  { readonly kind: 'body'; readonly body: Body } | { readonly kind: 'faults'; readonly faults: Readonly<Record<string, StaffKey>> }

export const analyteOf = ({ quickTest, analyte }: Pick<Bench, 'quickTest' | 'analyte'>): AnalyteName =>
  quickTest === null ? analyte : QUICK_TESTS[quickTest].analyte

/** Rows in which something stands; their place among these is N in the mill's `rows.N.value`. */
export const filled = (bench: Bench): readonly BatchRow[] => bench.rows.filter(({ value }) => value.trim() !== '')

const isNumber = (typed: string): boolean => readTyped(typed).kind === 'number'

/** What is sent, or what must be put right, under the paths that the mill uses too. */
export const readBatch = (bench: Bench): Reading => {
  const rows = filled(bench)
  const faults: Record<string, StaffKey> = {}
  if (bench.laboratory.trim() === '') faults['laboratory'] = 'field.empty'
  if (bench.quickTest === null && bench.method.trim() === '') faults['method'] = 'field.empty'
  if (bench.kitLimit !== '' && !isNumber(bench.kitLimit)) faults['detectionLimit'] = 'field.notANumber'
  if (rows.length === 0) faults['rows'] = 'lab.nothingTyped'
  rows.forEach(({ value }, index) => {
    if (!saysYesOrNo(bench.quickTest) && !isNumber(value)) faults[`rows.${index}.value`] = 'field.notANumber'
  })
  if (Object.keys(faults).length > 0) return { kind: 'faults', faults }
  const analyte = analyteOf(bench)
  return {
    kind: 'body',
    body: {
      laboratory: bench.laboratory.trim(),
      measuredOn: bench.measuredOn,
      analyte,
      quickTest: bench.quickTest,
      detectionLimit: bench.kitLimit === '' || bench.quickTest === null ? null : answerOf(bench.kitLimit, null).value,
      unit: unitOf(analyte),
      method: bench.quickTest === null ? bench.method.trim() : '',
      rows: rows.map(({ lotId, value, confirmed }) => ({ lotId, ...answerOf(value, bench.quickTest), confirmed })),
    },
  }
}
